import { describe, expect, it } from 'vitest';
import type { Alert } from '../../../node/alerts/alert.js';
import { guard } from '../../../node/guard/guard.js';
import { resumeGuard, startGuard } from '../../../node/guard/guard-state.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';
import { acknowledge, reading, run, settings, statesOf, step } from './one-elbow.js';

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
