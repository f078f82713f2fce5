import { describe, expect, it } from 'vitest';
import type { BuzzerVerdict } from '../../../node/alerts/buzzer-verdict.js';
import { annunciation } from '../../../node/annunciator/annunciation.js';
import { guard } from '../../../node/guard/guard.js';
import { startGuard } from '../../../node/guard/guard-state.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn } from '../kit-with.js';

const settings = settingsFromKit(
  kitWith([{ id: 'sea', engine: 'all', place: 'sea-water', channel: ntcOn('A0') }]),
);
/** A stretch of seconds with one verdict; `acknowledged` at its end. */
type Stretch = readonly [BuzzerVerdict | undefined, number, 'acknowledged'?];
const runs = (verdicts: readonly Stretch[]) => {
  let state = startGuard(asMonotonicMs(0));
  let nowMs = 0;
  for (const [buzzer, forS, then] of verdicts)
    for (let i = 0; i < forS; i++) {
      nowMs += 1000;
      const input = {
        nowMs: asMonotonicMs(nowMs),
        readings: [],
        running: {},
        board: 'connected' as const,
        buzzer,
        commands:
          then && i === forS - 1
            ? state.entries.map(({ alert }) => ({ do: 'acknowledge', alertId: alert.id }) as const)
            : [],
      };
      state = guard(state, input, settings).state;
    }
  const alerts = state.entries.map(({ alert }) => alert).filter(({ id }) => id.startsWith('board:buzzer'));
  return {
    alert: alerts.find(({ state: life }) => life !== 'rectified') ?? alerts[0],
    now: annunciation(alerts, asMonotonicMs(nowMs)),
  };
};

describe('the alert of a buzzer that its current does not confirm', () => {
  it.each(['silent-pin', 'silent-circuit'] as const)(
    '%s is a warning that also stops the heart, is an alarm two minutes later, and ends with the fault',
    (verdict) => {
      const { alert, now } = runs([
        ['well', 10],
        [verdict, 5],
      ]);
      expect(alert).toMatchObject({
        priority: 'warning',
        state: 'unacknowledged',
        rule: 'buzzer-no-current',
      });
      expect(alert?.actions.length).toBeGreaterThan(2);
      expect(now).toMatchObject({ heartStops: true });
      expect(now.lamp).toBeDefined();
      expect(runs([[verdict, 125]]).alert).toMatchObject({ priority: 'alarm', escalated: true });
      const over = runs([
        [verdict, 5],
        ['well', 2],
      ]);
      expect(over.alert?.state).toBe('rectified');
      expect(over.now.heartStops).toBeUndefined();
    },
  );

  it('always-on is a warning and lets the heart beat', () => {
    const { alert, now } = runs([['always-on', 5]]);
    expect(alert).toMatchObject({
      priority: 'warning',
      rule: 'buzzer-always-on',
      instruction: 'Check the buzzer',
    });
    expect(now.heartStops).toBeUndefined();
  });

  it.each([
    ['always-on', 'silent-pin', undefined],
    ['always-on', 'silent-pin', 'acknowledged'],
    ['always-on', 'silent-circuit', undefined],
    ['always-on', 'silent-circuit', 'acknowledged'],
    ['silent-pin', 'silent-circuit', undefined],
    ['silent-pin', 'silent-circuit', 'acknowledged'],
    ['silent-circuit', 'silent-pin', undefined],
    ['silent-circuit', 'silent-pin', 'acknowledged'],
    ['silent-pin', 'always-on', undefined],
    ['silent-pin', 'always-on', 'acknowledged'],
  ] as const)(
    'from %s to %s (%s before) it asks at once, in every word as if it had begun so',
    (first, second, before) => {
      const { alert, now } = runs([before ? [first, 60, before] : [first, 60], [second, 1]]);
      const fresh = runs([[second, 1]]);
      expect(now).toEqual(fresh.now);
      const { rule, message, instruction, actions, state } = fresh.alert ?? {};
      expect(alert).toMatchObject({ rule, message, instruction, actions, state });
    },
  );

  it('one that was silent, then always on, then silent again is no acknowledged silence', () => {
    const { alert, now } = runs([
      ['silent-pin', 30, 'acknowledged'],
      ['always-on', 30, 'acknowledged'],
      ['silent-pin', 1],
    ]);
    expect(alert).toMatchObject({ rule: 'buzzer-no-current', state: 'unacknowledged' });
    expect(now).toMatchObject({ heartStops: true });
  });

  it('there is none where the current is not read back', () => {
    expect(runs([[undefined, 5]]).alert).toBeUndefined();
  });
});
