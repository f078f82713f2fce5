import {
  type GuardInput,
  type GuardState,
  guard,
  resumeGuard,
  startGuard,
} from '../../../node/guard/guard.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { campaignSettings } from './campaign-settings.js';
import type { DrawnBoat } from './drawn-boat.js';
import type { PumpGauges } from './pump-gauges.js';

/** Learns during the trips of commissioning what the pumps of a boat give; only exhaust gas and pumps are looked at. */
export class PumpLearner {
  private readonly gauges: PumpGauges;
  private readonly boat: DrawnBoat;
  private readonly settings: GuardSettings;
  learned: GuardState;

  constructor(boat: DrawnBoat, gauges: PumpGauges) {
    this.boat = boat;
    this.gauges = gauges;
    const gas = boat.probes.filter(({ place }) => place === 'dry-exhaust');
    this.settings = campaignSettings([...gas, ...gauges.probes], boat.mode);
    this.learned = startGuard(boat.atMs);
  }

  putToSea(): void {
    this.learned = rememberedPumps(this.learned, this.boat.atMs);
  }

  pass(input: GuardInput): void {
    const { gauges, boat, settings } = this;
    const readings = [
      ...input.readings.filter(({ probe }) => settings.probes.some(({ id }) => id === probe)),
      ...gauges.read((engine) => boat.plant.pumpPressureKpa(engine), input.nowMs),
    ];
    this.learned = guard(this.learned, { ...input, readings }, settings).state;
  }
}

/** A guard that starts on another day: what it knows of pumps and their zeros is kept, what was wrong has been put right. */
export function rememberedPumps(before: GuardState, atMs: GuardInput['nowMs']): GuardState {
  const { probes } = resumeGuard(before, atMs, atMs - before.atMs).state;
  const pumps = Object.entries(probes).flatMap(([id, { pump, ...probe }]) =>
    pump ? [[id, { ...probe, pump: { ...pump, state: { ...pump.state, found: undefined } } }] as const] : [],
  );
  return { ...startGuard(atMs), probes: Object.fromEntries(pumps) };
}
