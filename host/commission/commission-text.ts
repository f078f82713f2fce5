import { type Assessment, bins, secondsWanted } from '../../node/index.js';
import { type Degrees, pointText, readable, spanText } from '../wording/degrees.js';

/** The check list and the bins as text. */
export function commissionText({ steps, elbows, unfitted }: Assessment, degrees: Degrees): string {
  const lines: string[] = [];
  for (const { name, done, seen, next } of steps) {
    lines.push(`${done ? '[done]' : '[open]'} ${name}`, `       ${readable(degrees, seen)}`);
    if (!done && next) lines.push(`       next: ${readable(degrees, next)}`);
  }
  for (const [id, { spread, armed, proposedLimits }] of Object.entries(elbows)) {
    lines.push('', `${id}: ${armed ? 'ready to be armed' : 'NOT armed'}`);
    for (const bin of bins) {
      const { seconds, q998K } = spread[bin];
      const share = Math.min(1, seconds / secondsWanted[bin]);
      lines.push(
        `  ${bin.padEnd(13)} ${'#'.repeat(Math.round(20 * share)).padEnd(20, '.')} ${String(seconds).padStart(6)} s of the ${secondsWanted[bin]} it takes, spread ${spanText(degrees, q998K)}`,
      );
    }
    lines.push(
      proposedLimits
        ? `  proposed limits: warning ${pointText(degrees, proposedLimits.warning.raiseAtC, 0)}, alarm ${pointText(degrees, proposedLimits.alarm.raiseAtC, 0)}`
        : '  no limits proposed: the warning limit of the kit was reached in this history, so it does not show how normal running looks',
    );
  }
  for (const [id, why] of Object.entries(unfitted))
    lines.push('', `${id}: nothing learned yet: ${readable(degrees, why.join('; '))}`);
  return lines.join('\n');
}
