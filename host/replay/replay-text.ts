import { type Degrees, pointText, readable } from '../wording/degrees.js';
import { evidenceIn } from '../wording/evidence.js';
import { localStamp } from '../wording/moments.js';
import type { Replayed, ReplayedAlert } from './replay.js';

/** A replay as text: alerts with their evidence, hours, and what other limits would have done. */
export function replayText(replayed: Replayed, degrees: Degrees): string {
  const { alerts, running, recordedHours, setpoints } = replayed;
  const lines = [
    alerts.length === 0
      ? 'No alert would have been raised.'
      : `${alerts.length} alerts would have been raised:`,
    ...alerts.flatMap((alert) => alertLines(alert, degrees)),
    '',
    `Recorded ${recordedHours.toFixed(1)} h. Running: ${running.map(({ name, hours, basis }) => `${name} ${hours.toFixed(1)} h (by ${words[basis]})`).join(', ')}.`,
  ];
  const probes = [...new Set(setpoints.map((row) => row.probe))];
  if (probes.length > 0) {
    lines.push(
      '',
      'High limits held for 2 s: how often each would have been raised (per 1,000 running hours)',
    );
    for (const probe of probes) {
      lines.push(`  ${probe}`);
      for (const { raiseAtC, times, per1000h } of setpoints.filter((row) => row.probe === probe))
        lines.push(
          `    ${pointText(degrees, raiseAtC, 0).padStart(6)}  ${String(times).padStart(6)}${per1000h === undefined ? '' : `  (${per1000h.toFixed(1)})`}`,
        );
    }
  }
  return lines.join('\n');
}

const words = { 'running-input': 'running input', 'exhaust-gas': 'exhaust gas', recorded: 'recorded time' };

function alertLines(
  { at, rectifiedAt, priority, rule, about, message, evidence, state }: ReplayedAlert,
  degrees: Degrees,
): string[] {
  const numbers = (values: Readonly<Record<string, number>>) =>
    Object.entries(values)
      .map(([name, value]) => evidenceIn(degrees, degrees.letter, name, value).join(' '))
      .join(', ');
  const until = rectifiedAt === undefined ? state : `until ${localStamp(rectifiedAt)}`;
  return [
    `  ${localStamp(at)}  ${priority.toUpperCase()}  ${about}  ${rule}  ${until}`,
    `      ${readable(degrees, message)}`,
    `      seen: ${numbers(evidence.values)}`,
    `      against: ${numbers(evidence.thresholds)}`,
  ];
}
