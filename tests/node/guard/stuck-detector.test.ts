import { describe, expect, it } from 'vitest';
import { NtcDivider } from '../../../node/bench/circuits/ntc-divider.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn } from '../kit-with.js';

const probes = [
  { id: 'elbow', channel: ntcOn('A0', { resistorOhms: 2_200 }) },
  { id: 'gas', place: 'dry-exhaust', channel: { kind: 'ad8495', pin: 'A1' } },
  { id: 'sea', engine: 'both', place: 'sea-water', channel: ntcOn('A2') },
];
const kit = kitWith(probes);
const withInput = settingsFromKit(kitWith(probes, { engines: { port: { runningInput: { pin: 2 } } } }));
const withoutInput = settingsFromKit(kit);

type At = Readonly<Record<'elbow' | 'gas' | 'sea', number>>;
type Given = { readonly settings?: GuardSettings; readonly running?: boolean; readonly hz?: number };

/** Runs the guard from where `state` left it, and gives the seconds at which any alert of a probe was first there. */
const watch = (
  state: GuardState,
  forS: number,
  at: (s: number) => At | undefined,
  { settings = withInput, running = true, hz = 5 }: Given = {},
) => {
  let now = state;
  const raised = new Map<string, number>();
  const from = now.atMs;
  let active: string[] = [];
  for (let i = 1; i <= forS * hz; i++) {
    const s = i / hz;
    const nowMs = asMonotonicMs(from + s * 1000);
    const temperatures = at(s);
    const readings = Object.entries(temperatures ?? {}).map(
      ([probe, temperatureC]): Reading => ({
        probe,
        readAtMs: nowMs,
        result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
      }),
    );
    const result = guard(
      now,
      { nowMs, readings, running: settings === withInput ? { port: running } : {}, board: 'connected' },
      settings,
    );
    now = result.state;
    active = result.alerts
      .filter(({ state }) => state !== 'rectified')
      .map(({ rule, probe }) => `${rule} ${probe}`);
    for (const alert of active) if (!raised.has(alert)) raised.set(alert, s);
  }
  return { state: now, raised: Object.fromEntries(raised), active };
};
const fresh = () => startGuard(asMonotonicMs(0));
/** Noise of a converter in its last digits, never twice the same. */
const noisy = (value: number, s: number) => value + 0.05 * Math.sin(s * 12.9898);
/** Gas that is 20 C, rises from second 30 to second 60, and stays. */
const risingBy = (k: number) => (s: number) => 20 + k * Math.min(1, Math.max(0, (s - 30) / 30));

describe('an elbow probe that does not change', () => {
  const still =
    (k: number, elbow: (s: number) => number) =>
    (s: number): At => ({
      elbow: elbow(s),
      gas: noisy(risingBy(k)(s), s),
      sea: 18,
    });

  it('is reported 60 s after its gas went 60 K, in words, and not before', () => {
    const { raised } = watch(
      fresh(),
      200,
      still(120, () => 25),
    );
    expect(Object.keys(raised)).toEqual(['probe-stuck elbow', 'cooling-unseen elbow']);
    // The gas has gone 60 K at 45 s, and its filter of 1 s a moment later.
    expect(raised['probe-stuck elbow']).toBeGreaterThan(105);
    expect(raised['probe-stuck elbow']).toBeLessThan(108);
    const { state } = watch(
      fresh(),
      200,
      still(120, () => 25),
    );
    const alert = state.entries.map((entry) => entry.alert).find(({ rule }) => rule === 'probe-stuck');
    expect(alert).toMatchObject({ id: 'probe-fault:elbow', priority: 'caution' });
    expect(alert?.message).toContain('exactly the same');
    expect(alert?.evidence.values.otherMovedK).toBeGreaterThanOrEqual(60);
  });

  it('is not called stuck for gas that goes 58 K; that it said nothing new for 20 minutes sounds all the same', () => {
    const { raised } = watch(
      fresh(),
      3600,
      still(58, () => 25),
    );
    expect(Object.keys(raised)).toEqual(['cooling-unseen elbow']);
    expect(raised['cooling-unseen elbow']).toBeCloseTo(1220, -1);
  });

  it('is not reported when its last digit moves 55 s after the gas', () => {
    expect(
      watch(
        fresh(),
        400,
        still(120, (s) => (s < 100 ? 25 : 25.1 + Math.floor(s / 50) / 100)),
      ).raised,
    ).toEqual({});
  });

  it('stays active while the engine is stopped again, and goes with the first other count', () => {
    const running = watch(
      fresh(),
      200,
      still(120, () => 25),
    );
    const stopped = watch(running.state, 100, (s) => ({ elbow: 25, gas: noisy(100, s), sea: 18 }), {
      running: false,
    });
    expect(stopped.active).toEqual(['probe-stuck elbow']);
    const moved = watch(stopped.state, 1, (s) => ({ elbow: 25.1, gas: noisy(100, s), sea: 18 }), {
      running: false,
    });
    expect(moved.active).toEqual([]);
  });

  it('takes back no alert: what was active before stays active beside it', () => {
    const { active } = watch(
      fresh(),
      300,
      still(250, () => 70),
    );
    expect(active.toSorted()).toEqual(['cooling-unseen elbow', 'probe-stuck elbow', 'rise-over-sea elbow']);
  });

  it('is reported the same without a running input', () => {
    expect(
      watch(
        fresh(),
        200,
        still(120, () => 25),
        { settings: withoutInput },
      ).raised,
    ).toHaveProperty('probe-stuck elbow');
  });
});

describe('a gas probe that does not change', () => {
  const warming =
    (k: number, gas: (s: number) => number) =>
    (s: number): At => ({
      elbow: noisy(risingBy(k)(s), s),
      gas: gas(s),
      sea: 18,
    });

  it('is reported 60 s after the elbow of a running engine went 12 K; not for 11 K', () => {
    expect(
      watch(
        fresh(),
        200,
        warming(14, () => 80),
      ).raised,
    ).toHaveProperty('probe-stuck gas');
    expect(
      watch(
        fresh(),
        3600,
        warming(11, () => 80),
      ).raised,
    ).toEqual({});
  });

  it('is not reported for an elbow warmed in the hand by 22 K while it is not known whether the engine runs', () => {
    const given = { settings: withoutInput };
    expect(
      watch(
        fresh(),
        600,
        warming(22, () => 20),
        given,
      ).raised,
    ).toEqual({});
    expect(
      watch(
        fresh(),
        600,
        warming(35, () => 20),
        given,
      ).raised,
    ).toHaveProperty('probe-stuck gas');
  });
});

describe('a boat at rest, with converters so quiet that a count stays the same for hours', () => {
  it.each([
    ['with running inputs', withInput],
    ['without', withoutInput],
  ])('says nothing through a night at anchor, %s', (_, settings) => {
    const night = (s: number): At => {
      const roomC = 20 - 6 * (s / 36_000);
      return { elbow: Math.round(roomC * 8) / 8, gas: Math.round(roomC), sea: 18 };
    };
    expect(watch(fresh(), 36_000, night, { settings, running: false, hz: 1 }).raised).toEqual({});
  });

  it('says nothing with the ignition left on, which a running input takes for an engine', () => {
    const keyOn = () => ({ elbow: 20, gas: 21, sea: 18 });
    const { raised } = watch(fresh(), 3600, keyOn, { hz: 1 });
    expect(Object.keys(raised).filter((alert) => alert.startsWith('probe'))).toEqual([]);
  });

  it.each([
    ['with running inputs', withInput],
    ['without', withoutInput],
  ])(
    'says nothing when a whole trip and its heat soak pass through a converter without any noise, %s',
    (_, settings) => {
      const plant = new Plant({ seed: 3 });
      const [probe] = kit.probes;
      if (probe?.channel.kind !== 'ntc-divider') throw new Error('the first probe is a divider');
      const divider = new NtcDivider(probe, probe.channel, 1, true);
      const spot = (place: string) => ({ engine: 'port', place, mounting: 'strap-on' }) as const;
      const throttleAt = (s: number) =>
        s < 900 ? 0.05 : s < 4_500 ? 0.7 : s < 4_600 ? 1 : s < 6_000 ? 0.06 : 0;
      const trip = (s: number): At => {
        plant.setThrottle('port', throttleAt(s));
        plant.step(1);
        divider.advance(1, { atS: s, elementC: plant.elementTemperatureC(spot('wet-elbow')), boardC: 25 });
        // Whole counts of a 10-bit converter and whole degrees of gas, as an AD8495 on the same converter gives them.
        const counts = Math.floor(divider.share() * 1024);
        return {
          elbow: 90 - counts / 10,
          gas: Math.round(plant.elementTemperatureC(spot('dry-exhaust'))),
          sea: 18,
        };
      };
      const ran = watch(fresh(), 6_000, trip, { settings, hz: 1 });
      const rested = watch(ran.state, 3_000, (s) => trip(6_000 + s), { settings, running: false, hz: 1 });
      expect(
        [...Object.keys(ran.raised), ...Object.keys(rested.raised)].filter((a) => a.startsWith('probe')),
      ).toEqual([]);
    },
  );
});
