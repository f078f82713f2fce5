import type { FalseAlert, WatcherName } from './record.js';
import { type Delays, loads, mountings, type Rate, type Summary, type WatcherSummary } from './summary.js';

const watcherWords: Readonly<Record<WatcherName, string>> = {
  switch: 'a plain switch at 93 °C',
  limits: 'limits only (before commissioning)',
  learned: 'with the learned normal',
  pressure: 'with the learned normal and a pressure probe',
};
const mountingWords = { well: 'wetted well', 'strap-on': 'strap-on ring' } as const;
const loadWords = {
  'wide-open': 'wide open',
  cruise: 'cruise',
  idle: 'idle',
  start: 'started with the seacock shut',
} as const;
const whenWords: Readonly<Record<FalseAlert['when'], string>> = {
  running: 'while running, per 1,000 engine hours',
  stopped: 'on a stopped engine, per 1,000 stops',
  restart: 'within 5 min of a hot restart, per 1,000 restarts',
};

/** The whole comparison as Markdown: a table for each watcher, with a column for each plant. */
export function campaignTable(seed: number, trips: number, summaries: readonly Summary[]): string {
  return [
    `Simulation, seed ${seed}, ${trips} ordinary commissioning trips a boat.`,
    ...summaries.map(about),
    ...(['learned', 'pressure', 'limits', 'switch'] as const).flatMap((name) =>
      watcherTable(name, summaries),
    ),
    '',
    ...summaries.map(
      ({ plant, notArmed, watchers, falseStuck, falseFallen, falseUnseen, overload, falseOverload }) =>
        `${plant}: not armed because ${JSON.stringify(notArmed)}; false cautions of stuck probes ${falseStuck}, of fallen ones ${falseFallen}; false warnings of an engine that runs unseen, per 1,000 h, ${rateCell(falseUnseen)}; overload (8 to 30 % more torque) reported after ${delayCell(overload)}, falsely per 1,000 h ${rateCell(falseOverload)}; false alerts by rule ${JSON.stringify(watchers.learned.falseByRule)}; limits only ${JSON.stringify(watchers.limits.falseByRule)}${watchers.pressure ? `; with pressure ${JSON.stringify(watchers.pressure.falseByRule)}` : ''}`,
    ),
  ].join('\n');
}

function watcherTable(name: WatcherName, summaries: readonly Summary[]): readonly string[] {
  const aboard = summaries.flatMap(({ plant, watchers }) => {
    const watcher = watchers[name];
    return watcher ? [{ plant, watcher }] : [];
  });
  if (aboard.length === 0) return [];
  const row = (label: string, cell: (watcher: WatcherSummary) => string) =>
    `| ${label} | ${aboard.map(({ watcher }) => cell(watcher)).join(' | ')} |`;
  return [
    '',
    `| ${watcherWords[name]} | ${aboard.map(({ plant }) => `${plant} plant`).join(' | ')} |`,
    `|---|${aboard.map(() => '---').join('|')}|`,
    ...mountings.flatMap((mounting) =>
      loads.map((load) =>
        row(`full loss, ${mountingWords[mounting]}, ${loadWords[load]}`, ({ losses }) =>
          delayCell(losses[`${mounting} ${load}`]),
        ),
      ),
    ),
    row('impeller, 30 to 70 % of the flow', ({ impeller }) => delayCell(impeller)),
    row('clogging strainer, flow left: median, 19 of 20', ({ strainer }) =>
      strainer.n === 0
        ? '-'
        : `${strainer.flowLeftMedian.toFixed(2)}, ${strainer.flowLeftP5.toFixed(2)}; ${strainer.missed} of ${strainer.n} never`,
    ),
    row('hose at 120 °C before any alert', ({ hose }) => `${hose.unwarned} of ${hose.reached}`),
    ...(['running', 'stopped', 'restart'] as const).flatMap((when) => [
      row(`false alerts ${whenWords[when]}`, ({ falseWhile }) => rateCell(falseWhile[when].all)),
      row('of them alarms', ({ falseWhile }) => rateCell(falseWhile[when].alarms)),
    ]),
    row('warnings about an elbow with a broken probe', ({ brokenProbe }) => String(brokenProbe)),
  ];
}

const about = ({ plant, boats, voyages, runningHours, stops, restarts, armed }: Summary): string =>
  `The ${plant} plant: ${boats} boats, ${voyages} voyages, ${runningHours.toFixed(0)} engine hours, ${stops} stops, ${restarts} hot restarts; ${armed.armed} of ${armed.elbows} elbows armed (${((100 * armed.armed) / Math.max(1, armed.elbows)).toFixed(1)} %).`;

function delayCell(delays: Delays | undefined): string {
  if (!delays || delays.n === 0) return '-';
  const { medianS, p95S, missed, n } = delays;
  const seconds = (s: number | null) => (s === null ? 'never' : `${s} s`);
  return `${seconds(medianS)}, ${seconds(p95S)} (${missed} of ${n} never)`;
}

const rateCell = ({ count, per1000, interval95: [low = 0, high = 0] }: Rate): string =>
  `${per1000.toFixed(1)} (${low.toFixed(1)} to ${high.toFixed(1)}; ${count})`;
