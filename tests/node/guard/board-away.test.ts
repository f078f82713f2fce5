import { describe, expect, it } from 'vitest';
import type { Alert, AlertCommand } from '../../../node/alerts/alert.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, resumeGuard, startGuard } from '../../../node/guard/guard-state.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { settings } from './one-elbow.js';

describe('a board that is away', () => {
  /** Passes at 5 Hz with the elbow open from the start, while `away` says when the board is not there. */
  const through = (
    fromMs: number,
    toMs: number,
    away: (s: number) => boolean,
    from: GuardState = startGuard(asMonotonicMs(fromMs)),
    commands: (ms: number) => readonly AlertCommand[] = () => [],
  ) => {
    let state = from;
    const raised = new Map<string, number>();
    let last: readonly Alert[] = [];
    for (let ms = fromMs; ms < toMs; ms += 200) {
      const gone = away(ms / 1000);
      const readAtMs = asMonotonicMs(ms);
      const missing = { kind: 'missing', reason: gone ? 'board-away' : 'open' } as const;
      const result = guard(
        state,
        {
          nowMs: readAtMs,
          board: gone ? 'lost' : 'connected',
          readings: [{ probe: 'port-elbow', readAtMs, result: missing }],
          running: {},
          commands: commands(ms),
        },
        settings,
      );
      state = result.state;
      last = result.alerts;
      for (const { rule, state: life } of last) {
        const key = `${rule} ${life}`;
        if (!raised.has(key)) raised.set(key, ms / 1000);
      }
    }
    return { state, raised: Object.fromEntries(raised), alerts: last };
  };

  it('for 2.5 s in every 12 s hides neither itself nor an open probe', () => {
    const { raised } = through(0, 120_000, (s) => s % 12 < 2.5);
    expect(raised['board-unsteady unacknowledged']).toBeCloseTo(36, 0);
    expect(raised['probe-open unacknowledged']).toBeLessThan(16);
    // The seconds in which the board is there add up.
    expect(raised['cooling-unseen unacknowledged']).toBeLessThan(40);
    expect(Object.keys(raised)).toHaveLength(3);
  });

  it('is reported as coming and going until some minutes after the last loss, and two losses are not', () => {
    const losses = (n: number) => (s: number) => s > 20 && s < 20 + n * 30 && (s - 20) % 30 < 2;
    expect(through(0, 200_000, losses(2)).raised['board-unsteady unacknowledged']).toBeUndefined();
    const three = through(0, 600_000, losses(3)).raised;
    expect(three['board-unsteady unacknowledged']).toBeCloseTo(80, 0);
    expect(three['board-unsteady rectified']).toBeGreaterThan(200);
  });

  it('is lost after 3 s, and after 30 s also where it was coming and going', () => {
    const once = through(0, 60_000, (s) => s > 20);
    expect(once.raised['board-lost unacknowledged']).toBeCloseTo(23, 0);
    const gone = through(0, 140_000, (s) => (s < 90 ? s > 20 && (s - 20) % 30 < 2 : s > 100));
    expect(gone.alerts.find(({ id }) => id === 'board:board')?.message).toContain('is lost');
  });

  it('asks again at every loss, though it was known that it comes and goes', () => {
    const away = (s: number) =>
      (s < 90 ? s > 20 && (s - 20) % 30 < 2 : s > 100 && s <= 140) || (s > 160 && s <= 200);
    const acknowledge: AlertCommand = { do: 'acknowledge', alertId: 'board:board' };
    const boardAt = (s: number) =>
      through(0, s * 1000, away, undefined, (ms) =>
        [95_000, 135_000].includes(ms) ? [acknowledge] : [],
      ).alerts.find(({ id }) => id === 'board:board');
    expect(boardAt(99)).toMatchObject({ rule: 'board-unsteady', state: 'acknowledged' });
    expect(boardAt(132)).toMatchObject({ rule: 'board-lost', state: 'unacknowledged' });
    expect(boardAt(132)?.actions[0]).toBe('Nothing is guarded now.');
    expect(boardAt(139)).toMatchObject({ rule: 'board-lost', state: 'acknowledged' });
    expect(boardAt(155)).toMatchObject({ rule: 'board-unsteady', state: 'acknowledged' });
    expect(boardAt(155)?.actions[0]).toBe('The guard has gaps.');
    expect(boardAt(192)).toMatchObject({ rule: 'board-lost', state: 'unacknowledged' });
  });

  it('for half a second, or a restart, neither rectifies a shelved fault nor raises it again', () => {
    const shelve: AlertCommand = { do: 'shelve', alertId: 'probe-fault:port-elbow', forS: 86_400 };
    const blip = through(
      0,
      120_000,
      (s) => s >= 60 && s < 60.5,
      undefined,
      (ms) => (ms === 30_000 ? [shelve] : []),
    );
    const fault = blip.alerts.find(({ id }) => id === 'probe-fault:port-elbow');
    expect(fault).toMatchObject({ state: 'acknowledged', shelvedUntilMs: 30_000 + 86_400_000 });
    expect(blip.raised['probe-open rectified']).toBeUndefined();
    const { state } = resumeGuard(JSON.parse(JSON.stringify(blip.state)), asMonotonicMs(500_000), 10_000);
    const on = through(500_000, 540_000, (s) => s < 504, state);
    expect(on.alerts.find(({ id }) => id === 'probe-fault:port-elbow')?.state).toBe('acknowledged');
    expect(on.raised['probe-open rectified']).toBeUndefined();
    expect(on.raised['probe-open unacknowledged']).toBeUndefined();
  });
});
