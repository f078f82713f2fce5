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
const runs = (verdicts: readonly (readonly [BuzzerVerdict | undefined, number])[]) => {
  let state = startGuard(asMonotonicMs(0));
  let nowMs = 0;
  for (const [buzzer, forS] of verdicts)
    for (let i = 0; i < forS; i++) {
      nowMs += 1000;
      const input = {
        nowMs: asMonotonicMs(nowMs),
        readings: [],
        running: {},
        board: 'connected' as const,
        buzzer,
      };
      state = guard(state, input, settings).state;
    }
  const alerts = state.entries.map(({ alert }) => alert);
  return {
    alert: alerts.find(({ id }) => id === 'board:buzzer'),
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

  it('there is none where the current is not read back', () => {
    expect(runs([[undefined, 5]]).alert).toBeUndefined();
  });
});
