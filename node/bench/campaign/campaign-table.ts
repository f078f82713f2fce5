import type { Scores } from './scores.js';
import { type DetectorName, detectorNames } from './watchers.js';

type Summary = ReturnType<Scores['summary']> & { readonly seed: number; readonly trips: number | undefined };
type DetectorSummary = Summary['detectors'][DetectorName];

/** The whole comparison as text, one column for each detector. */
export function campaignTable(summary: Summary): string {
  const { voyages, faults, runningHours, withoutRunningInput, detectors } = summary;
  const row = (label: string, cell: (d: DetectorSummary) => string): string =>
    label.padEnd(44) + detectorNames.map((name) => cell(detectors[name]).padStart(22)).join('');
  const loss = (mounting: 'strap' | 'well', load: 'wideOpen' | 'cruise' | 'idle', label: string) =>
    row(`full loss, ${label}, s median/p95 (missed of n)`, (d) => {
      const { medianS, p95S, missed, n } = d.fullLoss[mounting][load];
      return `${medianS ?? '-'}/${p95S ?? '-'} (${missed} of ${n})`;
    });
  const rate = (value: number, [low, high]: readonly number[]) =>
    `${value.toFixed(1)} (${(low ?? 0).toFixed(1)}-${(high ?? 0).toFixed(1)})`;
  return [
    `Simulation. Seed ${summary.seed}: ${voyages} voyages, ${runningHours.toFixed(0)} engine hours, ${faults} faults, ${summary.trips} commissioning trips a boat.`,
    'A fixed 93 C; B 82 C or 0.8 K/s; C limit, rise over sea, rate, time to limit; D learned, reference numbers.',
    '',
    row('', () => '').trimEnd() + detectorNames.map((name) => name.padStart(22)).join(''),
    loss('strap', 'wideOpen', 'strap-on, wide open'),
    loss('strap', 'cruise', 'strap-on, cruise'),
    loss('strap', 'idle', 'strap-on, idle'),
    loss('well', 'wideOpen', 'well, wide open'),
    loss('well', 'cruise', 'well, cruise'),
    loss('well', 'idle', 'well, idle'),
    row(
      'impeller 30 to 70 %, s median/p95 (missed)',
      ({ impeller: i }) => `${i.medianS ?? '-'}/${i.p95S ?? '-'} (${i.missed} of ${i.n})`,
    ),
    row(
      'strainer, flow left median/p5 (missed)',
      ({ strainer: s }) =>
        `${s.flowLeftMedian.toFixed(2)}/${s.flowLeftP5.toFixed(2)} (${s.missed} of ${s.n})`,
    ),
    row('hose at 120 C before any alert', ({ hose120 }) => `${hose120.unwarned} of ${hose120.reached}`),
    row('false warnings per 1,000 engine hours (95 %)', (d) =>
      rate(d.falseWarningsPer1000h, d.falseWarningsInterval95),
    ),
    row('false alarms per 1,000 engine hours (95 %)', (d) =>
      rate(d.falseAlarmsPer1000h, d.falseAlarmsInterval95),
    ),
    row('warnings caused by a broken probe', (d) => `${d.brokenProbeWarnings}`),
    '',
    `Without running input and without commissioning, false per 1,000 stops: ${rate(withoutRunningInput.falsePer1000Stops, withoutRunningInput.interval95)} in ${withoutRunningInput.stops} stops.`,
    `False cautions that a probe stands still: ${summary.falseStuck}; that it has fallen off: ${summary.falseFallen}.`,
    `False warnings that an engine runs unseen: ${summary.falseUnseen}, ${rate(summary.falseUnseenPer1000h, summary.falseUnseenInterval95)} per 1,000 engine hours.`,
    `False alerts of elbowroom by cause: ${JSON.stringify(summary.falseByRule)}`,
  ].join('\n');
}
