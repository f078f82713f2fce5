import type { AlertCommand } from '../../../node/alerts/alert.js';
import type { Condition } from '../../../node/alerts/condition.js';
import type { Entry } from '../../../node/alerts/entry.js';
import { keepLedger } from '../../../node/alerts/ledger.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

export const condition = (
  priority: Condition['priority'],
  subject = 'port',
  rule = 'high-limit',
): Condition => ({
  situation: 'cooling',
  subject,
  rule,
  priority,
  engine: 'port',
  message: 'The elbow is hot.',
  evidence: { values: {}, thresholds: {} },
});

/** A ledger with a clock in seconds. */
export function ledger(escalateAfterS = 120) {
  let entries: readonly Entry[] = [];
  return {
    at(s: number, conditions: readonly Condition[], ...commands: AlertCommand[]) {
      const kept = keepLedger(entries, conditions, commands, {
        nowMs: asMonotonicMs(s * 1000),
        escalateAfterS,
      });
      entries = kept.entries;
      return { alerts: entries.map((e) => e.alert), answers: kept.answers, entries };
    },
  };
}
export const acknowledge: AlertCommand = { do: 'acknowledge', alertId: 'cooling:port' };
export const silence: AlertCommand = { do: 'silence', alertId: 'cooling:port' };
