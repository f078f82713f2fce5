import { expect } from 'vitest';
import { annunciation } from '../../../node/annunciator/annunciation.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { type GuardState, guard, resumeGuard, startGuard } from '../../../node/guard/guard.js';
import type { GuardSettings, ProbeSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { valued } from '../../../node/reading/quantity.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const probe = (id: string, place: ProbeSettings['place']): ProbeSettings => ({
  id,
  name: `Port ${id}`,
  engine: 'port',
  place,
  mounting: 'free',
});
export const gas = probe('gas', 'dry-exhaust');
export const pump = probe('pump', 'raw-water-pressure');
export const elbow = probe('elbow', 'wet-elbow');
export const speed = probe('speed', 'engine-speed');
export const settingsWith = (...probes: readonly ProbeSettings[]): GuardSettings => ({
  probes,
  engines: [{ id: 'port', name: 'Port', kind: 'propulsion', runningInput: true, alike: [] }],
  escalateAfterS: 120,
  tuning: learnedTuning,
});
export const withoutInput = (...probes: readonly ProbeSettings[]): GuardSettings => ({
  ...settingsWith(...probes),
  engines: [{ id: 'port', name: 'Port', kind: 'propulsion', runningInput: false, alike: [] }],
});

/** The invented engine with a probe that is 1.5 kPa off, read five times a second; no elbow probe at all. */
export class PumpBoat {
  readonly plant = new Plant({ seed: 5 });
  state: GuardState = startGuard(asMonotonicMs(0));
  atS = 0;
  missing: MissingReason | undefined;
  gasMissing = false;
  /** The input is stuck: it repeats this for ever. */
  frozenKpa: number | undefined;
  inputSays: boolean | undefined;
  /** How late the water behind the pump follows it, s; 0 is the plant as it is. */
  waterLagS = 0;
  private followingKpa = 0;
  /** What the probe reads at no pressure. */
  zeroKpa = 1.5;
  /** What air in the water leaves of the pressure. */
  airLeaves = 1;
  private readonly random = makeRandom(77);
  private readonly settings: GuardSettings;

  constructor(settings: GuardSettings) {
    this.settings = settings;
  }

  /** Lets time pass; gives after how many seconds an alert of this id was first active. */
  run(forS: number, id = 'cooling:port'): number | undefined {
    let firstS: number | undefined;
    for (let s = 0.2; s <= forS + 1e-9; s += 0.2) {
      this.plant.step(0.2);
      this.atS += 0.2;
      const { state, alerts } = guard(this.state, this.input(), this.settings);
      this.state = state;
      if (firstS === undefined && alerts.some((a) => a.id === id && a.state !== 'rectified')) firstS = s;
    }
    return firstS;
  }

  restart(): void {
    this.state = resumeGuard(
      JSON.parse(JSON.stringify(this.state)),
      asMonotonicMs(this.atS * 1000),
      5000,
    ).state;
  }

  /** Seconds until the buzzer sounds, counted from now, and whether the heart then stops; it may do so already. */
  soundsWithin(forS: number): number | undefined {
    for (let s = 0.2; s <= forS + 1e-9; s += 0.2) {
      this.run(0.2);
      const { buzzer } = annunciation(
        this.state.entries.map(({ alert }) => alert),
        this.state.atMs,
      );
      if (buzzer) return s;
    }
    return undefined;
  }

  alertOf(id: string) {
    return this.state.entries.find(({ alert }) => alert.id === id)?.alert;
  }

  get alert() {
    return this.state.entries.find(({ alert }) => alert.id === 'cooling:port')?.alert;
  }

  private input() {
    const nowMs = asMonotonicMs(Math.round(this.atS * 1000));
    const measured = (
      id: string,
      quantity: 'temperature' | 'pressure' | 'speed',
      value: number,
    ): Reading => ({
      probe: id,
      readAtMs: nowMs,
      result: { kind: 'measured', ...valued(quantity, value, 1) },
    });
    const { plant, random } = this;
    this.followingKpa +=
      (plant.pumpPressureKpa('port') - this.followingKpa) *
      (1 - Math.exp(-0.2 / Math.max(1e-3, this.waterLagS)));
    const kpa = this.followingKpa * this.airLeaves;
    const missing = (id: string, reason: MissingReason): Reading => ({
      probe: id,
      readAtMs: nowMs,
      result: { kind: 'missing', reason },
    });
    const readings = [
      this.gasMissing
        ? missing('gas', 'open')
        : measured(
            'gas',
            'temperature',
            plant.elementTemperatureC({ ...gas, engine: 'port' }) + random.normal(),
          ),
      this.missing
        ? missing('pump', this.missing)
        : measured(
            'pump',
            'pressure',
            this.frozenKpa ?? this.zeroKpa + kpa + (0.1 + 0.03 * kpa) * random.normal(),
          ),
      missing('elbow', 'open'),
      measured('speed', 'speed', plant.rpm('port') + 8 * random.normal()),
    ];
    return {
      nowMs,
      readings: readings.filter((r) => this.settings.probes.some(({ id }) => id === r.probe)),
      running: this.settings.engines[0]?.runningInput
        ? { port: this.inputSays ?? plant.isRunning('port') }
        : {},
      board: 'connected' as const,
    };
  }
}

/** Two minutes at rest for the zero, idle, cruise, wide open, idle again. */
export const learnedBoat = (settings: GuardSettings): PumpBoat => {
  const boat = new PumpBoat(settings);
  boat.run(120);
  for (const throttle of [0.05, 0.75, 1, 0.05, 0.75]) {
    boat.plant.setThrottle('port', throttle);
    expect(boat.run(400)).toBeUndefined();
  }
  return boat;
};
