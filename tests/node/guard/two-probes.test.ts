import { describe, expect, it } from 'vitest';
import type { Alert } from '../../../node/alerts/alert.js';
import { guard, resumeGuard, startGuard } from '../../../node/guard/guard.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { elbowLimits } from '../../../node/guard/settings-from-kit.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { learnedElbow } from './learned-elbow.js';

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

/** A bare number has the last digits of a converter at work; `exact` is the very same at every pass. */
type Shown = number | MissingReason | { readonly exact: number };
type At = (s: number) => {
  readonly ring: Shown;
  readonly well: Shown;
  readonly gas?: Shown;
  readonly sea?: Shown;
};

/** Runs the guard with the engine on, twice a second, and gives what was active at the end and all that ever was. */
function run(forS: number, at: At, uncertaintyC = 0.5, by: GuardSettings = settings) {
  let state = startGuard(asMonotonicMs(0));
  let active: readonly Alert[] = [];
  const ever = new Map<string, { priority: string; s: number }>();
  for (let ms = 0; ms <= forS * 1000; ms += 500) {
    const shown = at(ms / 1000);
    const readings = Object.entries(shown).map(([probe, value]): Reading => {
      const temperatureC =
        typeof value === 'number' ? value + 0.05 * ((ms / 500) % 2) : (value as { exact: number }).exact;
      return {
        probe,
        readAtMs: asMonotonicMs(ms),
        result:
          typeof value === 'string'
            ? { kind: 'missing', reason: value }
            : { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC },
        ...(typeof value !== 'string' && { signal: { raw: temperatureC, rawUnit: 'ohm' as const } }),
      };
    });
    const input = {
      nowMs: asMonotonicMs(ms),
      readings,
      running: { main: true },
      board: 'connected' as const,
    };
    const result = guard(state, input, by);
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

  // 4 K for two rings and 2 sqrt(2) times the uncertainty of one: by hand.
  it.each([
    [0.2, 4.566, ['probe-fault:main-elbow-pair']],
    [0.5, 5.414, []],
  ])('two rings, one hotter by 5 K, known to %d C: the limit is %d K', (uncertaintyC, limitK, ids) => {
    const probes = settings.probes.map((probe) => ({ ...probe, mounting: 'strap-on' as const }));
    const { active } = run(600, () => ({ ring: 36, well: 31 }), uncertaintyC, { ...settings, probes });
    expect(active.map(({ id }) => id)).toEqual(ids);
    if (active[0]) expect(active[0].evidence.thresholds.apartK).toBeCloseTo(limitK, 2);
  });

  it.each(['ring', 'well'] as const)(
    '%s stuck, with no gas probe aboard: the other one shows it, as a caution',
    (stuck) => {
      const at: At = (s) => {
        const moves = s < 300 ? 32 : Math.min(50, 32 + (s - 300) * 0.2);
        return stuck === 'ring' ? { ring: { exact: 32 }, well: moves } : { ring: moves, well: { exact: 32 } };
      };
      const { active, ever } = run(600, at);
      expect(active.map(({ id, rule, priority }) => [id, rule, priority])).toEqual([
        [`probe-fault:${stuck}`, 'probe-stuck', 'caution'],
      ]);
      expect(active[0]?.message).toMatch(/still guards this engine/);
      expect([...ever.keys()]).toEqual([`probe-fault:${stuck}`]);
    },
  );

  it('one open and the other stuck: nothing shows the cooling, and that sounds within 22 min', () => {
    const { ever } = run(1500, (s) => ({ ring: s < 60 ? 32 : 'open', well: { exact: 31 } }));
    expect(ever.get('blind:main')?.priority).toBe('warning');
    expect(ever.get('blind:main')?.s).toBeLessThanOrEqual(22 * 60);
  });

  it('one fallen off is a caution that says the other still guards, and the other alone raises the alarm', () => {
    const probes = [
      ...settings.probes.map((probe) => ({ ...probe, baseline: learnedElbow })),
      { id: 'gas', name: 'Gas', engine: 'main', place: 'dry-exhaust', mounting: 'free' } as const,
      { id: 'sea', name: 'Sea', engine: 'all', place: 'sea-water', mounting: 'well' } as const,
    ];
    const hangsInAir = 25;
    // The load goes from 200 C to 280 C of gas: the elbow follows from 25 to 33 C, the ring in the air does not.
    const at =
      (lostAtS: number): At =>
      (s) => ({
        ring: hangsInAir,
        well:
          s < lostAtS
            ? 25 + Math.min(8, Math.max(0, s - 1200) * 0.05)
            : Math.min(95, 33 + (s - lostAtS) * 0.5),
        gas: 200 + Math.min(80, Math.max(0, s - 1200) * 0.5),
        sea: 20,
      });
    const fallen = run(1700, at(9999), 0.5, { ...settings, probes });
    expect(fallen.active.map(({ rule, priority }) => [rule, priority])).toEqual([
      ['probe-fallen', 'caution'],
    ]);
    expect(fallen.active[0]?.message).toMatch(/^Ring .* hang in the air. Well still guards this engine.$/);
    expect([...fallen.ever.keys()]).toEqual(['probe-fault:ring']);
    const lost = run(1800, at(1700), 0.5, { ...settings, probes });
    expect(lost.active.find(({ id }) => id === 'cooling:main')).toMatchObject({
      priority: 'alarm',
      probe: 'well',
    });
  });

  it('is over once they have agreed for a minute, and survives a restart', () => {
    const { state } = run(300, () => ({ ring: 45, well: 31 }));
    const resumed = resumeGuard(JSON.parse(JSON.stringify(state)), asMonotonicMs(5_000), 5_000).state;
    expect(resumed.pairs.main?.raised?.hotter).toBe('ring');
    const { active } = run(600, (s) => ({ ring: s < 300 ? 45 : 33, well: 31 }));
    expect(active).toEqual([]);
  });
});
