import type { Alert } from '../../../node/alerts/alert.js';
import { annunciation } from '../../../node/annunciator/annunciation.js';
import { benchKitYaml } from '../../../node/bench/bench-kit.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { valued } from '../../../node/reading/quantity.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

/** The example kit, nothing learned: the plain detector and the kit's own limits. */
export const kit = parseKit(benchKitYaml, 'bench kit');
export const settings = settingsFromKit(kit);
export const loads = { idle: 0.07, cruise: 0.7, 'wide open': 1 } as const;
/** The same boat with a pressure probe behind each raw-water pump, with running inputs and without. */
const withPumps = (running: boolean): GuardSettings => {
  const settings = settingsFromKit(kit);
  return {
    ...settings,
    engines: settings.engines.map((engine) => ({ ...engine, runningInput: running })),
    probes: [
      ...settings.probes,
      ...['port', 'starboard'].map((engine) => ({
        id: `${engine}-pump`,
        name: `${engine === 'port' ? 'Port' : 'Starboard'} pump`,
        engine,
        place: 'raw-water-pressure' as const,
        mounting: 'free' as const,
      })),
    ],
  };
};
export const kits = {
  none: settings,
  'with input': withPumps(true),
  'without input': withPumps(false),
} as const;
export type Pumps = keyof typeof kits;
export type Load = keyof typeof loads;

const hz = 4;

/** What the guard did in a stretch of time: seconds from its beginning, or undefined where it did not. */
export type Outcome = {
  readonly soundedS: number | undefined;
  readonly heartStoppedS: number | undefined;
  /** The alert that sounded first, as it was then. */
  readonly alert: Alert | undefined;
  readonly alerts: readonly Alert[];
};

/** What becomes of a probe's reading, `s` after the beginning of the stretch. */
export type Spoil = (probe: string, value: number, s: number) => number | MissingReason;

const asIs: Spoil = (_, value) => value;

/** The bench's boat on a steady course: her plant's temperatures for minutes, recorded once for many guards. */
export class ScriptedBoat {
  /** A guard that has watched the healthy boat for a minute and a half. */
  readonly before: GuardState;
  private readonly plant = new Plant({ seed: 9 });
  private readonly after: Readonly<Record<string, number>>[] = [];
  private readonly pumps: Pumps;

  /** `bagged`: a bag covers the port intake from the beginning of the stretch. */
  constructor(load: Load, bagged: boolean, forS: number, pumps: Pumps = 'none') {
    this.pumps = pumps;
    for (const engine of ['port', 'starboard']) this.plant.setThrottle(engine, loads[load]);
    this.plant.step(1500);
    let state = startGuard(asMonotonicMs(0));
    for (let i = 0; i < 90 * hz; i++) state = this.pass(state, this.values(), asIs, 0, true).state;
    this.before = state;
    if (bagged) this.plant.bagIntake('port');
    for (let i = 0; i < forS * hz; i++) this.after.push(this.values());
  }

  /** Runs a guard through the recorded stretch. */
  run(spoil: Spoil = asIs, { running = true, from = this.before } = {}): Outcome {
    let state = from;
    let soundedS: number | undefined;
    let heartStoppedS: number | undefined;
    let alert: Alert | undefined;
    let last: readonly Alert[] = [];
    this.after.forEach((values, i) => {
      const s = (i + 1) / hz;
      const result = this.pass(state, values, spoil, s, running);
      state = result.state;
      last = result.alerts;
      const { buzzer, heartStops } = annunciation(result.alerts, state.atMs);
      if (buzzer && soundedS === undefined) {
        soundedS = s;
        alert = result.alerts.find((one) => one.state === 'unacknowledged' && one.priority !== 'caution');
      }
      if (heartStops) heartStoppedS ??= s;
    });
    return { soundedS, heartStoppedS, alert, alerts: last };
  }

  /** A guard that has watched the boat lie cold and stopped. */
  moored(): GuardState {
    const cold = Object.fromEntries(
      kits[this.pumps].probes.map(({ id, place }) => [id, place === 'raw-water-pressure' ? 0 : 18]),
    );
    let state = startGuard(asMonotonicMs(0));
    for (let i = 0; i < 60 * hz; i++) state = this.pass(state, cold, asIs, 0, false).state;
    return state;
  }

  /** Temperatures, C, and pressures, kPa, by the ids of the probes. */
  private values(): Readonly<Record<string, number>> {
    this.plant.step(1 / hz);
    const temperatures = kit.probes.map((probe) => [probe.id, this.plant.elementTemperatureC(probe)]);
    const pressures =
      this.pumps === 'none'
        ? []
        : ['port', 'starboard'].map((engine) => [`${engine}-pump`, this.plant.pumpPressureKpa(engine)]);
    return Object.fromEntries([...temperatures, ...pressures]);
  }

  private pass(
    state: GuardState,
    values: Readonly<Record<string, number>>,
    spoil: Spoil,
    s: number,
    running: boolean,
  ) {
    const nowMs = asMonotonicMs(state.atMs + 1000 / hz);
    const readings = Object.entries(values).map(([probe, truly], n): Reading => {
      const said = s > 0 ? spoil(probe, truly, s) : truly;
      if (typeof said === 'string')
        return { probe, readAtMs: nowMs, result: { kind: 'missing', reason: said } };
      // A converter's last digits are never at rest, unless the spoiled value is meant to be.
      const value = said === truly ? said + 0.05 * Math.sin(nowMs * 0.7 + n) : said;
      const quantity = probe.endsWith('-pump') ? 'pressure' : 'temperature';
      return { probe, readAtMs: nowMs, result: { kind: 'measured', ...valued(quantity, value, 0.3) } };
    });
    const runs = this.pumps === 'without input' ? {} : { port: running, starboard: running };
    return guard(state, { nowMs, readings, running: runs, board: 'connected' }, kits[this.pumps]);
  }
}
