import { dayColours, type LineCode, lineCodeOf } from '../drawing/line-code.js';
import { pumpVerdictOf, pumpWords } from '../engine-health/pump-verdict.js';
import type { Degrees } from '../wording/degrees.js';
import type { ProbeReport, Report } from './gather.js';
import { type Plot, plotSvg, type Trace } from './plot.js';
import { trendSvg } from './trend-plot.js';
import { escapeHtml, pointCell } from './words.js';

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

/** The temperatures of the span, a picture for each group of places. */
export const plots = (report: Report, degrees: Degrees): string =>
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

/** Cooling of each engine, its pump, and pairs of engines over months. */
export const trends = (report: Report): string => {
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
  return `<p>1.00 is as when learned, at the same exhaust-gas temperature; below it the water removes less heat. Bars: 95 %. A step back to 1.00 is work that started a new normal.</p><div class="trends">${parts.join('')}</div>`;
};
