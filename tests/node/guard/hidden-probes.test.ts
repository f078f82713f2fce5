import { expect, test } from 'vitest';
import { Plant } from '../../../node/bench/plant/plant.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, startGuard } from '../../../node/guard/guard-state.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn } from '../kit-with.js';

/** The elbow's last digit in the plant's converter, K; and its noise, which is the least that a real one has. */
const stepK = 0.12;
const noiseSteps = 0.25;
const hz = 2;

type Mounting = 'strap-on' | 'well';

/** A day at one throttle, after half an hour of warming up; nothing was learned of this boat. */
class Passage {
  state: GuardState = startGuard(asMonotonicMs(0));
  readonly plant = new Plant({ seed: 5 });
  readonly random = makeRandom(11);
  private readonly settings;
  private readonly mounting: Mounting;
  private heldC: number | undefined;
  /** Hours since the passage began at which each rule first spoke. */
  readonly heardAtH: Record<string, number> = {};

  constructor(mounting: Mounting) {
    this.mounting = mounting;
    const probes = [
      { id: 'elbow', mounting, channel: ntcOn('A0', { resistorOhms: 2_200 }) },
      { id: 'gas', place: 'dry-exhaust', mounting: 'free', channel: { kind: 'ad8495', pin: 'A1' } },
      { id: 'sea', engine: 'both', place: 'sea-water', channel: ntcOn('A2') },
    ];
    this.settings = settingsFromKit(kitWith(probes, { engines: { port: { runningInput: { pin: 2 } } } }));
    this.sail(0.5, 0.7);
  }

  stick(): this {
    this.heldC = this.elbowC();
    return this;
  }

  /** `hours` at a throttle; a sea that makes the load breathe where `roughness` is not 0. */
  sail(hours: number, throttle: number, roughness = 0): this {
    this.plant.setThrottle('port', throttle);
    this.plant.setThrottle('starboard', throttle);
    this.plant.roughness = roughness;
    for (let i = 0; i < hours * 3600 * hz; i++) this.pass();
    return this;
  }

  private elbowC(): number {
    const c = this.plant.elementTemperatureC({ engine: 'port', place: 'wet-elbow', mounting: this.mounting });
    return Math.round(c / stepK + noiseSteps * this.random.normal()) * stepK;
  }

  private pass(): void {
    this.plant.step(1 / hz);
    const nowMs = asMonotonicMs(this.state.atMs + 1000 / hz);
    const say = (probe: string, temperatureC: number): Reading => ({
      probe,
      readAtMs: nowMs,
      result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
    });
    const spot = (place: 'dry-exhaust' | 'sea-water') =>
      this.plant.elementTemperatureC({ engine: 'port', place, mounting: 'free' });
    const readings = [
      say('elbow', this.heldC ?? this.elbowC()),
      say('gas', Math.round(spot('dry-exhaust') * 4 + 0.5 * this.random.normal()) / 4),
      say('sea', spot('sea-water') + 0.02 * this.random.normal()),
    ];
    const { state, alerts } = guard(
      this.state,
      { nowMs, readings, running: { port: true }, board: 'connected' },
      this.settings,
    );
    this.state = state;
    for (const { rule, state: life } of alerts)
      if (life !== 'rectified') this.heardAtH[rule] ??= nowMs / 3_600_000 - 0.5;
  }
}

test.each<Mounting>(['strap-on', 'well'])(
  'a %s probe that sticks on a steady engine is hidden for 20 minutes at the longest, then it sounds',
  (mounting) => {
    const { heardAtH } = new Passage(mounting).stick().sail(0.5, 0.7);
    expect(heardAtH['cooling-unseen']).toBeGreaterThan(0.32);
    expect(heardAtH['cooling-unseen']).toBeLessThan(0.35);
  },
);

test.each<Mounting>(['strap-on', 'well'])(
  'a %s probe that falls off on a steady engine is doubted after 2 h, and sounds after 4 h at the latest',
  (mounting) => {
    const passage = new Passage(mounting);
    passage.plant.engines.port.ailments.fallenProbe = true;
    const { heardAtH } = passage.sail(4.2, 0.7);
    expect(heardAtH['probe-unproven']).toBeLessThan(2.1);
    expect(heardAtH['cooling-unseen']).toBeLessThan(4.1);
    expect(heardAtH['cooling-unseen']).toBeGreaterThan(1.9);
  },
);

test.each<Mounting>(['strap-on', 'well'])(
  'a %s probe that sits well is asked for a throttle change after 2 h at one load, and a change of a quarter is enough',
  (mounting) => {
    const passage = new Passage(mounting).sail(2.2, 0.7);
    expect(Object.keys(passage.heardAtH)).toEqual(['probe-unproven']);
    passage.sail(0.05, 0.45).sail(0.05, 0.7);
    expect(passage.state.entries.filter(({ alert }) => alert.state !== 'rectified')).toEqual([]);
    passage.sail(2.2, 0.7).sail(0.05, 0.45).sail(1.5, 0.7);
    expect(Object.keys(passage.heardAtH)).toEqual(['probe-unproven']);
  },
);
