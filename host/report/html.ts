import { dayColours, type LineCode, lineCodeOf } from '../drawing/line-code.js';
import { pumpVerdictOf, pumpWords } from '../engine-health/pump-verdict.js';
import { type Degrees, readableIn } from '../wording/degrees.js';
import { engineNamed } from '../wording/engine-names.js';
import { instructionText } from '../wording/instruction.js';
import { day, dayAndTime, lastedText, zoneOf } from '../wording/moments.js';
import type { AlertReport, ProbeReport, Report } from './gather.js';
import { type Plot, plotSvg, type Trace } from './plot.js';
import { reportStyle } from './style.js';
import { trendSvg } from './trend-plot.js';
import { escapeHtml, pointCell, spanCell } from './words.js';

/** Cells are HTML already; a heading that starts with `>` sets its column to the right. */
const table = (headings: readonly string[], rows: readonly (readonly string[])[]): string => {
  const right = headings.map((h) => h.startsWith('>'));
  const cell = (tag: string, text: string, i: number) =>
    `<${tag}${right[i] ? ' class="n"' : ''}>${text}</${tag}>`;
  return `<div class="scroll"><table><thead><tr>${headings.map((h, i) => cell('th', h.replace(/^>/, ''), i)).join('')}</tr></thead><tbody>${rows
    .map((row) => `<tr>${row.map((text, i) => cell('td', text, i)).join('')}</tr>`)
    .join('')}</tbody></table></div>`;
};

const section = (title: string, body: string): string => `<section><h2>${title}</h2>${body}</section>`;
const none = (words: string) => `<p class="none">${words}</p>`;

/** Probes that share a picture, and its title. */
const pictures: readonly (readonly [title: string, places: readonly string[]])[] = [
  ['Wet elbows and sea water', ['wet-elbow', 'sea-water']],
  ['Exhaust gas', ['dry-exhaust', 'before-turbo']],
  ['Engine-room air', ['engine-room']],
  ['Probes of unknown place', ['']],
];

const styleOf = (engine: string, place: string, { engines }: Report, nth = 0): LineCode =>
  lineCodeOf(
    engines.findIndex(({ id }) => id === engine),
    place,
    nth,
  );

/** Which of several probes that an engine has at one place, from 0. */
const nthOf = ({ card }: ProbeReport, { probes }: Report): number =>
  probes
    .filter((p) => p.card.engine === card.engine && p.card.place === card.place)
    .findIndex((p) => p.card === card);

const traceOf = (probe: ProbeReport, report: Report): Trace => ({
  label: probe.card.name,
  style: styleOf(probe.card.engine, probe.card.place, report, nthOf(probe, report)),
  envelope: probe.envelope,
});

/** Limits that several probes share are drawn once. */
const limitsOf = (probes: readonly ProbeReport[], degrees: Degrees): Plot['limits'] => {
  const found = new Map<string, Plot['limits'][number]>();
  for (const { card } of probes)
    for (const word of ['warning', 'alarm'] as const) {
      const limit = card.limits[word];
      if (limit)
        found.set(`${word} ${limit.raiseAtC}`, {
          kind: word,
          label: `${word} ${pointCell(degrees, limit.raiseAtC, 0)}`,
          atC: limit.raiseAtC,
        });
    }
  return [...found.values()];
};

const plots = (report: Report, degrees: Degrees): string =>
  pictures
    .map(([title, places]) => {
      const probes = report.probes.filter(({ card }) => places.includes(card.place));
      if (probes.length === 0) return '';
      const ids = new Set(probes.map(({ card }) => card.id));
      const engines = new Set<string>(probes.map(({ card }) => card.engine));
      const shaded = report.alerts
        .filter(({ alert }) => alert.priority !== 'caution')
        .filter(({ alert }) =>
          alert.probe ? ids.has(alert.probe) : alert.engine !== undefined && engines.has(alert.engine),
        )
        .map(({ raisedAt, endedAt }) => ({ from: raisedAt, to: endedAt ?? report.span.to }));
      const plot = {
        title,
        span: report.span,
        traces: probes.map((probe) => traceOf(probe, report)),
        limits: limitsOf(probes, degrees),
        shaded,
      };
      return `<figure class="wide"><h3>${title}</h3>${plotSvg(plot, degrees)}</figure>`;
    })
    .join('');

const probeRows = (report: Report, degrees: Degrees): string =>
  table(
    ['Probe', '>coldest', '>mean', '>hottest', 'at', '>room left', '>no reading', 'certificate'],
    report.probes.map((p) => [
      escapeHtml(p.card.name),
      pointCell(degrees, p.minC),
      pointCell(degrees, p.meanC),
      pointCell(degrees, p.maxC),
      p.hottestAt === undefined ? '–' : momentIn(report.span, p.hottestAt, p.envelope.everyMs),
      p.roomC === undefined
        ? 'no limit'
        : p.roomC < 0
          ? `<span class="alarm">${spanCell(degrees, p.roomC)}</span>`
          : spanCell(degrees, p.roomC),
      p.missing === 0 ? '0 s' : lastedText(p.missing * 1000),
      escapeHtml(p.certificate ?? 'none: the maker’s curve'),
    ]),
  );

const alertRow = ({ alert, raisedAt, endedAt, acknowledgedAt }: AlertReport, degrees: Degrees): string[] => [
  dayAndTime(raisedAt),
  `<span class="${alert.priority}">${alert.priority}</span>`,
  escapeHtml(
    [instructionText(alert), readableIn(degrees, degrees.sign, alert.message)].filter(Boolean).join('. '),
  ),
  acknowledgedAt === undefined ? 'not acknowledged' : `after ${lastedText(acknowledgedAt - raisedAt)}`,
  endedAt === undefined ? 'active' : `lasted ${lastedText(endedAt - raisedAt)}`,
];

/** The time alone where the whole span lies within one day; the day alone where a plot's step is hours long. */
const momentIn = ({ from, to }: Report['span'], at: number, everyMs: number): string => {
  if (day(from) === day(to)) return dayAndTime(at).slice(11);
  return everyMs > 3_600_000 ? day(at) : dayAndTime(at);
};

const basisNames = {
  'running-input': 'by its running input',
  'exhaust-gas': 'by its exhaust gas',
  none: 'nothing in the kit can tell',
} as const;

const facts = ({ hours, alerts, probes, span }: Report, degrees: Degrees): string => {
  const elbows = probes.filter((p) => p.card.place === 'wet-elbow' && p.roomC !== undefined);
  const least = elbows.reduce<ProbeReport | undefined>(
    (a, b) => (a && (a.roomC ?? 0) <= (b.roomC ?? 0) ? a : b),
    undefined,
  );
  const count = (priority: string) => alerts.filter((a) => a.alert.priority === priority).length;
  const cells: [string, string][] = [
    ['From start to end', lastedText(span.to - span.from)],
    ...hours.map(({ name, basis, hours: ran }): [string, string] => [
      `${escapeHtml(name)} ran, ${basisNames[basis]}`,
      basis === 'none' ? '–' : `${ran.toFixed(1)} h`,
    ]),
    [
      least ? `Least room at an elbow (${escapeHtml(least.card.name)})` : 'Least room at an elbow',
      spanCell(degrees, least?.roomC),
    ],
    ['Alarms, warnings, cautions', `${count('alarm')}, ${count('warning')}, ${count('caution')}`],
  ];
  return `<dl class="facts">${cells.map(([name, value]) => `<div><dt>${name}</dt><dd>${value}</dd></div>`).join('')}</dl>`;
};

const trends = (report: Report): string => {
  const parts = [
    ...report.trends.map(({ engine, effectiveness }) =>
      trendSvg(
        `${engine.name}: cooling against its own normal`,
        effectiveness,
        dayColours[styleOf(engine.id, 'wet-elbow', report).token],
      ),
    ),
    ...report.trends.flatMap(({ engine, pump }) => {
      if (!pump) return [];
      const { says, advice } = pumpWords[pumpVerdictOf(pump).kind];
      const colour = dayColours[styleOf(engine.id, 'wet-elbow', report).token];
      const figure = trendSvg(`${engine.name}: pressure behind the raw-water pump`, pump.ratio, colour);
      return [`${figure}<p>${escapeHtml(`${engine.name}. ${says} ${advice}`.trim())}</p>`];
    }),
    ...report.pairs.map(({ one, other, ratio }) =>
      trendSvg(`${one.name} against ${other.name}`, ratio, dayColours['--metal']),
    ),
  ];
  return `<p>1.00 is as when learned, at the same exhaust-gas temperature; below it the water carries less heat away. Bars: 95 %. A step back to 1.00 is work that started a new normal.</p><div class="trends">${parts.join('')}</div>`;
};

/** The zone of the times; both, where the clocks were changed between start and end. */
const zones = ({ span }: Report): string =>
  zoneOf(span.from) === zoneOf(span.to)
    ? zoneOf(span.from)
    : `${zoneOf(span.from)} at the start and ${zoneOf(span.to)} at the end`;

/** The report as one file that opens anywhere, without a network, and prints. */
export const reportHtml = (report: Report, degrees: Degrees): string => {
  const { boat, invented, span, gaps, clockSteps, service, certificates, alerts, writtenAt } = report;
  const title = `${boat}: ${day(span.from)}${day(span.to) === day(span.from) ? '' : ` to ${day(span.to)}`}`;
  const body = [
    `<h1>${escapeHtml(boat)}</h1><p class="lead">${dayAndTime(span.from)} to ${dayAndTime(span.to)}</p><p class="lead">Local time, ${zones(report)}. Temperatures in degrees ${degrees.scale === 'celsius' ? 'Celsius' : 'Fahrenheit'}.</p>`,
    invented
      ? '<p class="invented"><strong>Invented.</strong> This boat and her readings come from a bench, not from the sea.</p>'
      : '',
    facts(report, degrees),
    section(
      'Temperatures',
      `${plots(report, degrees)}${probeRows(report, degrees)}<p class="lead">Line: mean. Band: coldest to hottest. Red ground: an alarm or a warning was active. Gaps are periods without readings.</p>`,
    ),
    section(
      'Alerts',
      alerts.length === 0
        ? none('None.')
        : table(
            ['Raised', '', 'What', 'Acknowledged', 'End'],
            [...alerts].sort((a, b) => a.raisedAt - b.raisedAt).map((alert) => alertRow(alert, degrees)),
          ),
    ),
    section(
      `${report.engines.length === 1 ? 'The engine' : 'The engines'} over the last half year`,
      trends(report),
    ),
    section(
      'Work done',
      service.length === 0
        ? none(
            `Nothing is in the service log. To add to it: elbowroom log "impeller changed" --engine ${report.engines[0]?.id ?? 'ID'}`,
          )
        : table(
            ['When', 'Engine', 'Work', 'Note'],
            [...service]
              .reverse()
              .map((s) => [
                day(s.at),
                escapeHtml(engineNamed(s.engine, report.engines)),
                `${escapeHtml(s.work)}${s.restartsBaseline ? ' (new normal)' : ''}`,
                escapeHtml(s.note ?? ''),
              ]),
          ),
    ),
    section(
      'Certificates',
      certificates.length === 0
        ? none('None were given. Add them with --certificates FOLDER.')
        : table(
            ['Certificate', 'Probe', 'Issued', 'Due', 'Points', 'Uncertainty (95 %)'],
            certificates.map((c) => [
              escapeHtml(c.name),
              escapeHtml(c.probe),
              day(Date.parse(c.issuedAt)),
              `${day(c.dueAt)}${c.drifts ? ', it drifts' : ''}`,
              c.points.map((p) => `${p.kind} ${pointCell(degrees, p.temperatureC, 2)}`).join('<br>'),
              c.uncertainty
                .map(
                  (u) => `±${spanCell(degrees, u.expandedC, 2)} at ${pointCell(degrees, u.temperatureC, 0)}`,
                )
                .join('<br>'),
            ]),
          ),
    ),
    section(
      'What is missing',
      gaps.length === 0
        ? none('No message of the node was lost in this span.')
        : table(
            ['Node', 'Why', '>frames', 'From', 'To'],
            gaps.map((g) => [
              escapeHtml(g.node),
              g.reason === 'ring-overflow' ? 'no host was connected for too long' : 'the node restarted',
              g.frames === undefined ? 'unknown' : String(g.frames),
              g.fromAt === undefined ? '–' : dayAndTime(g.fromAt),
              g.toAt === undefined ? '–' : dayAndTime(g.toAt),
            ]),
          ),
    ),
    ...(clockSteps.length === 0
      ? []
      : [
          section(
            'Clocks that were put right or wrong',
            table(
              ['Node', 'Clock before', 'Clock after'],
              clockSteps.map((s) => [escapeHtml(s.node), dayAndTime(s.beforeAt), dayAndTime(s.afterAt)]),
            ),
          ),
        ]),
    `<footer>Written by Elbowroom on ${dayAndTime(writtenAt)}, ${zoneOf(writtenAt)}. A home-made kit beside the engine’s own instruments, which it does not replace.</footer>`,
  ];
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${escapeHtml(title)}</title><style>${reportStyle}</style></head><body>${body.join('\n')}</body></html>\n`;
};
