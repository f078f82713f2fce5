import { describe, expect, it } from 'vitest';
import type { Alert, AlertCommand } from '../../../node/alerts/alert.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, resumeGuard, startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';

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
  engines: twinEngines(),
  escalateAfterS: 120,
  tuning: learnedTuning,
};

const reading = (atMs: number, temperatureC?: number): Reading => ({
  probe: 'port-elbow',
  readAtMs: asMonotonicMs(atMs),
  result:
    temperatureC === undefined
      ? { kind: 'missing', reason: 'open' }
      : { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
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

/** Goes on as `run`, and gives the seconds and the alert at each change of its state. */
function statesOf(state: GuardState, fromMs: number, forS: number, temperature: (s: number) => number) {
  const seen: { s: number; state: string; message: string; actions: readonly string[] }[] = [];
  let now = state;
  for (let ms = fromMs; ms <= fromMs + forS * 1000; ms += 100) {
    const s = (ms - fromMs) / 1000;
    const result = step(now, ms, temperature(s));
    now = result.state;
    const alert = result.alerts[0];
    if (alert && alert.state !== seen.at(-1)?.state)
      seen.push({ s, state: alert.state, message: alert.message, actions: alert.actions });
  }
  return { state: now, seen };
}

const step = (state: GuardState, ms: number, temperatureC: number, commands: readonly AlertCommand[] = []) =>
  guard(
    state,
    {
      nowMs: asMonotonicMs(ms),
      readings: [reading(ms, temperatureC)],
      running: {},
      board: 'connected',
      commands,
    },
    settings,
  );
const acknowledge: AlertCommand = { do: 'acknowledge', alertId: 'cooling:port' };

describe('guard', () => {
  it('an acknowledged alarm, eased to 80 C for an hour, sounds again past 93 C and again at 100 C', () => {
    const hot = run(startGuard(asMonotonicMs(0)), 0, 60, (s) => Math.min(94, 40 + s));
    expect(hot.alerts[0]).toMatchObject({ priority: 'alarm', state: 'unacknowledged' });
    const seen = step(hot.state, 60_100, 94, [acknowledge]);
    const eased = run(seen.state, 60_200, 3600, (s) => Math.max(80, 94 - s * 0.3));
    expect(eased.alerts[0]).toMatchObject({ priority: 'alarm', state: 'acknowledged' });
    const again = statesOf(eased.state, 3_661_000, 80, (s) => 80 + s * 0.2);
    expect(again.seen.map(({ state }) => state)).toEqual(['acknowledged', 'unacknowledged']);
    expect(again.seen[1]?.s).toBeCloseTo(66, 0);
    expect(again.seen[1]?.message).toMatch(
      /^Port elbow is at 93\.\d C, 0\.\d K above its alarm limit of 93 C\.$/,
    );
    expect(again.seen[1]?.actions.join()).toMatch(/hatch shut.*bilge only when it is clear/);
    const raised = step(again.state, 3_742_000, 96, [acknowledge]);
    const hose = statesOf(raised.state, 3_742_100, 60, (s) => Math.min(113, 96 + s * 0.5));
    expect(hose.seen.map(({ state }) => state)).toEqual(['acknowledged', 'unacknowledged']);
    expect(hose.seen[1]?.s).toBeGreaterThan(8);
    expect(hose.state.entries[0]?.alert.message).toMatch(
      /is at 113\.0 C, 20\.0 K above its alarm limit of 93 C/,
    );
  });

  it('a foreseen alarm shows the temperature of now, not that of the moment it was raised', () => {
    const raised = statesOf(startGuard(asMonotonicMs(0)), 0, 75, (s) => Math.min(91, 20 + s));
    expect(raised.seen[0]?.message).toMatch(/rises/);
    expect(raised.state.entries[0]?.alert.message).toMatch(/9[01]\.\d C/);
  });

  it('a step to 95 C raises the alarm within four seconds, and 84 C clears it', () => {
    const calm = run(startGuard(asMonotonicMs(0)), 0, 5, () => 40);
    expect(calm.alerts).toEqual([]);
    const before = run(calm.state, 5100, 0.9, () => 95);
    expect(before.alerts.filter((a) => a.priority === 'alarm')).toEqual([]);
    const after = run(before.state, 6100, 2.9, () => 95);
    expect(after.alerts).toMatchObject([
      { id: 'cooling:port', rule: 'high-limit', priority: 'alarm', state: 'unacknowledged' },
    ]);
    const cool = run(after.state, 9100, 1, () => 60);
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

  it.each([
    ['an unknown life', /"life":"[a-z-]+"/, '"life":"muted"'],
    ['no watch of the board', '"board":', '"bord":'],
    ['an elbow without its minutes', '"minutes":', '"hours":'],
    ['an engine without its phase', '"phase":', '"state":'],
  ])('a remembered state with %s is dropped with a word, and the guard goes on', (_, piece, instead) => {
    const hot = run(startGuard(asMonotonicMs(0)), 0, 3, () => 96);
    const remembered = JSON.stringify(hot.state);
    expect(resumeGuard(JSON.parse(remembered), asMonotonicMs(50), 0).forgotten).toBeUndefined();
    const damaged = JSON.parse(remembered.replace(piece, instead));
    const { state, forgotten } = resumeGuard(damaged, asMonotonicMs(50), 0);
    expect(forgotten).toContain('alerts start again');
    expect(run(state, 100, 3, () => 96).alerts).toMatchObject([{ id: 'cooling:port', priority: 'alarm' }]);
  });

  it('a stopped elbow is judged and reported by the same limit, 93 C, whatever its kit says for running', () => {
    const low = settings.probes.map((probe) => ({ ...probe, alarm: { raiseAt: 74, clearAt: 68, holdS: 2 } }));
    const wired = { ...settings, probes: low, engines: twinEngines('port') };
    let state = startGuard(asMonotonicMs(0));
    let alerts: readonly Alert[] = [];
    for (let ms = 0; ms <= 400_000; ms += 500) {
      const temperatureC = ms < 60_000 ? 45 : Math.min(95, 45 + (ms - 60_000) / 5_000);
      const now = {
        nowMs: asMonotonicMs(ms),
        board: 'connected' as const,
        readings: [reading(ms, temperatureC)],
      };
      ({ state, alerts } = guard(state, { ...now, running: { port: ms < 60_000 } }, wired));
    }
    expect(alerts).toMatchObject([
      {
        id: 'cooling:port',
        priority: 'alarm',
        message: expect.stringContaining('above its alarm limit of 93 C'),
        evidence: { thresholds: { raiseAtC: 93, holdS: 5 } },
      },
    ]);
  });

  it('a running input stuck at stopped does not blind: the kit’s own limits judge an elbow that warms to 90 C', () => {
    const low = settings.probes.map((probe) => ({
      ...probe,
      warning: { raiseAt: 65, clearAt: 60, holdS: 2 },
      alarm: { raiseAt: 74, clearAt: 68, holdS: 2 },
    }));
    const first = (wired: boolean, running: { port?: boolean }) => {
      const raised: Record<string, number> = {};
      let state = startGuard(asMonotonicMs(0));
      for (let ms = 0; ms <= 600_000; ms += 200) {
        const s = ms / 1000;
        const readings = [reading(ms, s < 100 ? 38 : Math.min(90, 38 + (s - 100) * 0.25))];
        const now = { nowMs: asMonotonicMs(ms), readings, running, board: 'connected' as const };
        const result = guard(state, now, {
          ...settings,
          probes: low,
          engines: wired ? twinEngines('port') : twinEngines(),
        });
        state = result.state;
        for (const { id, priority } of result.alerts) raised[`${id} ${priority}`] ??= s - 100;
      }
      return raised;
    };
    const broken = first(true, { port: false });
    const none = first(false, {});
    expect(none['cooling:port alarm']).toBeCloseTo(146, 0);
    expect(broken['cooling:port warning']).toBe(none['cooling:port warning']);
    expect(broken['cooling:port alarm']).toBe(none['cooling:port alarm']);
    expect(broken['running-input:port caution']).toBeLessThan(85);
  });
});

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
