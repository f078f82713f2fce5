import { bins } from '../../node/index.js';
import { type Assessment, secondsWanted } from './assess.js';

/** The check list and the bins, for people. */
export function commissionText({ steps, elbows, unfitted }: Assessment): string {
  const lines: string[] = [];
  for (const { name, done, seen, next } of steps) {
    lines.push(`${done ? '[done]' : '[open]'} ${name}`, `       ${seen}`);
    if (!done && next) lines.push(`       next: ${next}`);
  }
  for (const [id, { spread, armed, proposedLimits }] of Object.entries(elbows)) {
    lines.push('', `${id}: ${armed ? 'ready to be armed' : 'NOT armed'}`);
    for (const bin of bins) {
      const { seconds, q998K } = spread[bin];
      const share = Math.min(1, seconds / secondsWanted[bin]);
      lines.push(
        `  ${bin.padEnd(13)} ${'#'.repeat(Math.round(20 * share)).padEnd(20, '.')} ${String(seconds).padStart(6)} of ${secondsWanted[bin]} s, spread ${q998K.toFixed(1)} K`,
      );
    }
    if (proposedLimits)
      lines.push(
        `  proposed limits: warning ${proposedLimits.warning.raiseAtC} C, alarm ${proposedLimits.alarm.raiseAtC} C`,
      );
  }
  for (const [id, why] of Object.entries(unfitted))
    lines.push('', `${id}: nothing learnt yet: ${why.join('; ')}`);
  return lines.join('\n');
}
