import { type Degrees, readableIn } from '../wording/degrees.js';
import { engineNamed } from '../wording/engine-names.js';
import { instructionText } from '../wording/instruction.js';
import { day, dayAndTime, lastedText, timeOfDay, zoneOf } from '../wording/moments.js';
import type { AlertReport, ProbeReport, Report } from './gather.js';
import { plots, trends } from './pictures.js';
import { reportStyle } from './style.js';
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
  if (day(from) === day(to)) return timeOfDay(at);
  return everyMs > 3_600_000 ? day(at) : dayAndTime(at);
};

const basisNames = {
  'running-input': 'by its running input',
  'exhaust-gas': 'by its exhaust gas',
  none: 'nothing in the kit shows it',
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

const workSection = (report: Report): string =>
  section(
    'Work done',
    report.service.length === 0
      ? none(
          `Nothing is in the service log. To add to it: elbowroom log "impeller changed" --engine ${report.engines[0]?.id ?? 'ID'}`,
        )
      : table(
          ['When', 'Engine', 'Work', 'Note'],
          [...report.service]
            .reverse()
            .map((s) => [
              day(s.at),
              escapeHtml(engineNamed(s.engine, report.engines)),
              `${escapeHtml(s.work)}${s.restartsBaseline ? ' (new normal)' : ''}`,
              escapeHtml(s.note ?? ''),
            ]),
        ),
  );

const certificateSection = ({ certificates }: Report, degrees: Degrees): string =>
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
              .map((u) => `±${spanCell(degrees, u.expandedC, 2)} at ${pointCell(degrees, u.temperatureC, 0)}`)
              .join('<br>'),
          ]),
        ),
  );

const missingSection = ({ gaps }: Report): string =>
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
  );

/** The zone of the times; both, where the clocks were changed between start and end. */
const zones = ({ span }: Report): string =>
  zoneOf(span.from) === zoneOf(span.to)
    ? zoneOf(span.from)
    : `${zoneOf(span.from)} at the start and ${zoneOf(span.to)} at the end`;

/** The report as one file that opens anywhere, without a network, and prints. */
export const reportHtml = (report: Report, degrees: Degrees): string => {
  const { boat, invented, span, clockSteps, alerts, writtenAt } = report;
  const title = `${boat}: ${day(span.from)}${day(span.to) === day(span.from) ? '' : ` to ${day(span.to)}`}`;
  const body = [
    `<h1>${escapeHtml(boat)}</h1><p class="lead">${dayAndTime(span.from)} to ${dayAndTime(span.to)}</p><p class="lead">Local time, ${zones(report)}. Temperatures in degrees ${degrees.scale === 'celsius' ? 'Celsius' : 'Fahrenheit'}.</p>`,
    invented
      ? '<p class="invented"><strong>Invented.</strong> This boat and its readings come from a bench, not from the sea.</p>'
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
    workSection(report),
    certificateSection(report, degrees),
    missingSection(report),
    ...(clockSteps.length === 0
      ? []
      : [
          section(
            'Clocks that were set',
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
