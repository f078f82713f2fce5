import { describe, expect, it } from 'vitest';
import { asMonotonicMs } from '../../../node/clock.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, resumeGuard, startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { Reading } from '../../../node/reading.js';

const settings: GuardSettings = {
  probes: [
    {
      id: 'port-elbow',
      name: 'Port elbow',
      engine: 'port',
      place: 'wet-elbow',
      mounting: 'well',
      alarm: { raiseAt: 93, clearAt: 85, holdS: 1 },
      warning: { raiseAt: 82, clearAt: 76, holdS: 2 },
    },
  ],
  runningInput: { port: false, starboard: false },
  escalateAfterS: 120,
  tuning: learnedTuning,
};

const reading = (atMs: number, temperatureC?: number): Reading => ({
  probe: 'port-elbow',
  readAtMs: asMonotonicMs(atMs),
  result:
    temperatureC === undefined
      ? { kind: 'missing', reason: 'open' }
      : { kind: 'measured', temperatureC, uncertaintyC: 0.3 },
});

/** Runs at 10 Hz from `fromMs` for `forS`, with the temperature as a function of seconds since then. */
function run(
  state: GuardState,
  fromMs: number,
  forS: number,
  temperature: (s: number) => number | undefined,
) {
  let now = state;
  let alerts = guard(
    now,
    { nowMs: asMonotonicMs(fromMs), readings: [], running: {}, board: 'connected' },
    settings,
  ).alerts;
  for (let ms = fromMs; ms <= fromMs + forS * 1000; ms += 100) {
    const result = guard(
      now,
      {
        nowMs: asMonotonicMs(ms),
        readings: [reading(ms, temperature((ms - fromMs) / 1000))],
        running: {},
        board: 'connected',
      },
      settings,
    );
    now = result.state;
    alerts = result.alerts;
  }
  return { state: now, alerts };
}

describe('guard', () => {
  it('a step to 95 C raises the alarm one second later, and 84 C clears it', () => {
    const calm = run(startGuard(asMonotonicMs(0)), 0, 5, () => 40);
    expect(calm.alerts).toEqual([]);
    const before = run(calm.state, 5100, 0.9, () => 95);
    expect(before.alerts.filter((a) => a.priority === 'alarm')).toEqual([]);
    const after = run(before.state, 6100, 0.1, () => 95);
    expect(after.alerts).toMatchObject([
      { id: 'cooling:port', rule: 'high-limit', priority: 'alarm', state: 'unacknowledged' },
    ]);
    const cool = run(after.state, 6300, 1, () => 60);
    expect(cool.alerts).toMatchObject([{ id: 'cooling:port', state: 'rectified' }]);
  });

  it('an open probe is a caution after 4 s, not before', () => {
    const calm = run(startGuard(asMonotonicMs(0)), 0, 10, () => 40);
    expect(run(calm.state, 10_100, 3.9, () => undefined).alerts).toEqual([]);
    expect(run(calm.state, 10_100, 4.1, () => undefined).alerts).toMatchObject([
      { id: 'probe-fault:port-elbow', rule: 'probe-open', priority: 'caution' },
    ]);
  });

  it('a restart of 10 s forgets neither the alarm nor that it was acknowledged', () => {
    const hot = run(startGuard(asMonotonicMs(0)), 0, 3, () => 96);
    const acknowledged = guard(
      hot.state,
      {
        nowMs: asMonotonicMs(3200),
        readings: [],
        running: {},
        board: 'connected',
        commands: [{ do: 'acknowledge', alertId: 'cooling:port' }],
      },
      settings,
    );
    expect(acknowledged.answers).toMatchObject([{ ok: true }]);
    const { state, forgotten } = resumeGuard(
      JSON.parse(JSON.stringify(acknowledged.state)),
      asMonotonicMs(50),
      10_000,
    );
    expect(forgotten).toBeUndefined();
    const on = run(state, 100, 2, () => 96);
    expect(on.alerts).toMatchObject([{ id: 'cooling:port', state: 'acknowledged', priority: 'alarm' }]);
    expect(on.alerts[0]?.sinceMs).toBeLessThan(-9000);
  });
});
