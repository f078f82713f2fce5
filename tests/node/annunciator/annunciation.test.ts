import { describe, expect, test } from 'vitest';
import type { Alert } from '../../../node/alerts/alert.js';
import {
  alarmSound,
  annunciation,
  fastFlash,
  isOn,
  slowFlash,
  steady,
  warningSound,
} from '../../../node/annunciator/annunciation.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const now = asMonotonicMs(100_000);
const alert = (over: Partial<Alert>): Alert => ({
  id: 'cooling:port',
  rule: 'high-limit',
  priority: 'alarm',
  state: 'unacknowledged',
  sinceMs: asMonotonicMs(90_000),
  message: 'Port wet elbow is at 95 C.',
  evidence: { values: {}, thresholds: {} },
  actions: [],
  ...over,
});
const heardAndSeen = (...alerts: Alert[]) => {
  const { buzzer, lamp } = annunciation(alerts, now);
  return { buzzer, lamp };
};
const acknowledged = { state: 'acknowledged', acknowledgedAtMs: now } as const;
const rectified = { state: 'rectified', rectifiedAtMs: now } as const;

// IMO MSC.302(87): 7.3.3 unacknowledged flashes and sounds, 7.3.4 the alarm's sound is its own, 7.3.7 sight stays
// until acknowledged, 7.3.8 sound until acknowledged or rectified; acknowledged is steady (MSC.252(83) 20.2.7).
// That a caution makes no sound is from memory. Where the clauses come from: DEVELOPERS.md, Sources.
test.each([
  ['nothing', [], undefined, undefined],
  ['an unacknowledged alarm', [alert({})], alarmSound, fastFlash],
  ['an unacknowledged warning', [alert({ priority: 'warning' })], warningSound, slowFlash],
  ['an unacknowledged caution', [alert({ priority: 'caution' })], undefined, slowFlash],
  ['an acknowledged alarm', [alert(acknowledged)], undefined, steady],
  ['an acknowledged caution', [alert({ ...acknowledged, priority: 'caution' })], undefined, steady],
  ['a rectified alarm that was not acknowledged', [alert(rectified)], undefined, fastFlash],
  [
    'a rectified alarm that was acknowledged',
    [alert({ ...rectified, acknowledgedAtMs: now })],
    undefined,
    undefined,
  ],
  ['an alarm silenced for now', [alert({ silencedUntilMs: asMonotonicMs(100_001) })], undefined, fastFlash],
  ['an alarm whose silence has just ended', [alert({ silencedUntilMs: now })], alarmSound, fastFlash],
  ['a shelved alarm', [alert({ shelvedUntilMs: asMonotonicMs(100_001) })], undefined, undefined],
  ['an alarm whose shelving has ended', [alert({ shelvedUntilMs: now })], alarmSound, fastFlash],
  ['an alarm beside a warning', [alert({ priority: 'warning' }), alert({ id: 'b' })], alarmSound, fastFlash],
  [
    'an acknowledged alarm beside a new warning',
    [alert(acknowledged), alert({ id: 'b', priority: 'warning' })],
    warningSound,
    slowFlash,
  ],
] as const)('%s', (_, alerts, buzzer, lamp) => {
  expect(heardAndSeen(...alerts)).toEqual({ buzzer, lamp });
});

describe('a pattern', () => {
  const sequence = (pattern: readonly number[], stepMs: number, steps: number) =>
    Array.from({ length: steps }, (_, i) => (isOn(pattern, i * stepMs) ? '#' : '.')).join('');

  test('of an alarm is on for 600 ms and off for 200 ms, over and over', () => {
    expect(sequence(alarmSound, 100, 18)).toBe('######..######..##');
  });

  test('of a warning is three pips and then 14 s of quiet', () => {
    expect(sequence(warningSound, 100, 12)).toBe('##..##..##..');
    expect(sequence(warningSound.slice(), 1000, 16)).toBe('#..............#');
  });

  test('steady has no gaps, and no pattern is never on', () => {
    expect(sequence(steady, 100, 25)).toBe('#'.repeat(25));
    expect(isOn(undefined, 0)).toBe(false);
    expect(isOn([], 0)).toBe(false);
  });
});
