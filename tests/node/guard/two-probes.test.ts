import { describe, expect, it } from 'vitest';
import type { Alert } from '../../../node/alerts/alert.js';
import { guard, resumeGuard, startGuard } from '../../../node/guard/guard.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { elbowLimits } from '../../../node/guard/settings-from-kit.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const elbow = { engine: 'main', place: 'wet-elbow', ...elbowLimits } as const;
const settings: GuardSettings = {
  probes: [
    { ...elbow, id: 'ring', name: 'Ring', mounting: 'strap-on' },
    { ...elbow, id: 'well', name: 'Well', mounting: 'well' },
  ],
  engines: [{ id: 'main', name: 'Old Faithful', kind: 'propulsion', runningInput: true, alike: [] }],
  escalateAfterS: 120,
  tuning: learnedTuning,
};

type Told = number | MissingReason;
type At = (s: number) => { readonly ring: Told; readonly well: Told };

/** Runs the guard with the engine on, twice a second, and gives what was active at the end and all that ever was. */
function run(forS: number, at: At, uncertaintyC = 0.5) {
  let state = startGuard(asMonotonicMs(0));
  let active: readonly Alert[] = [];
  const ever = new Map<string, { priority: string; s: number }>();
  for (let ms = 0; ms <= forS * 1000; ms += 500) {
    const told = at(ms / 1000);
    const readings = (['ring', 'well'] as const).map((probe): Reading => {
      const value = told[probe];
      return {
        probe,
        readAtMs: asMonotonicMs(ms),
        result:
          typeof value === 'number'
            ? {
                kind: 'measured',
                quantity: 'temperature',
                temperatureC: value + 0.05 * ((ms / 500) % 2),
                uncertaintyC,
              }
            : { kind: 'missing', reason: value },
      };
    });
    const input = {
      nowMs: asMonotonicMs(ms),
      readings,
      running: { main: true },
      board: 'connected' as const,
    };
    const result = guard(state, input, settings);
    state = result.state;
    active = result.alerts.filter((alert) => alert.state !== 'rectified');
    for (const { id, priority } of result.alerts) if (!ever.has(id)) ever.set(id, { priority, s: ms / 1000 });
  }
  return { state, active, ever };
}

describe('two probes on one elbow', () => {
  it('a single fault is a caution that says the other still guards, and never the warning of a blind elbow', () => {
    const { active, ever } = run(300, (s) => ({ ring: s < 60 ? 32 : 'open', well: 31 }));
    expect(active.map(({ id, priority }) => [id, priority])).toEqual([['probe-fault:ring', 'caution']]);
    expect(active[0]?.message).toBe('Ring reads as an open circuit. Well still guards this engine.');
    expect([...ever.keys()]).toEqual(['probe-fault:ring']);
  });

  it('both at fault is the warning of a blind elbow, within 30 s of the second', () => {
    const { ever } = run(300, (s) => ({ ring: s < 60 ? 32 : 'open', well: s < 200 ? 31 : 'short' }));
    expect(ever.get('blind:main')?.priority).toBe('warning');
    expect((ever.get('blind:main')?.s ?? 0) - 200).toBeGreaterThan(0);
    expect((ever.get('blind:main')?.s ?? 999) - 200).toBeLessThanOrEqual(30);
  });

  it.each(['ring', 'well'] as const)('the hotter one counts: %s alone past its limit is the alarm', (hot) => {
    const at: At = (s) => {
      const hotC = s < 60 ? 32 : Math.min(95, 32 + (s - 60) * 0.3);
      return hot === 'ring' ? { ring: hotC, well: 31 } : { ring: 31, well: hotC };
    };
    const { active, ever } = run(400, at);
    expect(active.find(({ id }) => id === 'cooling:main')?.priority).toBe('alarm');
    expect(active.find(({ id }) => id === 'cooling:main')?.probe).toBe(hot);
    // While the cooling is in question the pair is not judged: one alert, and no second one about the probes.
    expect(ever.has('probe-fault:main-elbow-pair')).toBe(false);
  });

  it('either believed one guards: with the ring open, the well alone raises the alarm', () => {
    const { active } = run(400, (s) => ({
      ring: 'open',
      well: s < 60 ? 31 : Math.min(95, 31 + (s - 60) * 0.3),
    }));
    expect(active.find(({ id }) => id === 'cooling:main')?.priority).toBe('alarm');
  });

  // 8 K for unlike mountings and 2 sqrt(0.5^2 + 0.5^2) = 1.41 K: by hand.
  it('9 K apart is within mounting and uncertainty; 10 K apart for two minutes is a caution with what to check', () => {
    expect(run(600, () => ({ ring: 40, well: 31 })).active).toEqual([]);
    const { active, ever } = run(600, () => ({ ring: 41, well: 31 }));
    expect(active.map(({ id, priority }) => [id, priority])).toEqual([
      ['probe-fault:main-elbow-pair', 'caution'],
    ]);
    expect(ever.get('probe-fault:main-elbow-pair')?.s).toBeGreaterThanOrEqual(120);
    expect(active[0]?.evidence.thresholds.apartK).toBeCloseTo(9.41, 2);
    expect(active[0]?.message).toContain('The hotter one counts');
    expect(active[0]?.actions.join(' ')).toMatch(/both mountings.*elbowroom verify/);
  });

  it('wider uncertainties allow more: 10 K apart with 2 C each is nothing', () => {
    expect(run(600, () => ({ ring: 41, well: 31 }), 2).active).toEqual([]);
  });

  it('is over once they have agreed for a minute, and survives a restart', () => {
    const { state } = run(300, () => ({ ring: 45, well: 31 }));
    const resumed = resumeGuard(JSON.parse(JSON.stringify(state)), asMonotonicMs(5_000), 5_000).state;
    expect(resumed.pairs.main?.raised?.hotter).toBe('ring');
    const { active } = run(600, (s) => ({ ring: s < 300 ? 45 : 33, well: 31 }));
    expect(active).toEqual([]);
  });
});
