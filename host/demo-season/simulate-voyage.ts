import { makePlant } from '../../node/bench/index.js';
import type { KitEngine, ProbeCard } from '../../node/index.js';
import { startOf, troubled, type Voyage } from './voyages.js';

export type Sailed = {
  readonly startAt: number;
  /** Wall milliseconds, one a second. */
  readonly at: Float64Array;
  readonly byProbe: ReadonlyMap<string, Float64Array>;
  /** Seconds after the start in which the engines ran. */
  readonly ran: { readonly fromS: number; readonly toS: number };
};

/** Noise of each kind of input, kelvin, as the bench's converters have it about. */
const noiseK = (place: string) => (place === 'dry-exhaust' || place === 'before-turbo' ? 0.4 : 0.08);

/** Simulates one voyage in the plant and records what its probes would have read, once a second. */
export const simulateVoyage = async (
  voyage: Voyage,
  engines: readonly KitEngine[],
  probes: readonly ProbeCard[],
  nowMs: number,
): Promise<Sailed> => {
  const { worn, bagged } = troubled(engines.map(({ id }) => id));
  const drifting = probes.find(({ place, engine }) => place === 'wet-elbow' && engine === bagged);
  const seed = voyage.daysAgo + 1;
  const plant = await makePlant(engines, { seaC: voyage.seaC, outsideC: voyage.airC, seed });
  plant.roughness = voyage.roughness;
  plant.wearImpeller(worn, voyage.wornFlow);
  const chance = noise(seed);
  const lengthS = Math.round(voyage.legs.reduce((sum, leg) => sum + leg.forS, 0));
  const startAt = startOf(voyage, nowMs);
  const at = new Float64Array(lengthS);
  const byProbe = new Map(probes.map((probe) => [probe.id, new Float64Array(lengthS)]));
  for (let s = 0; s < lengthS; s++) {
    const throttle = throttleAt(voyage, s);
    for (const { id } of engines) plant.setThrottle(id, throttle);
    if (s === voyage.bag?.atS) plant.bagIntake(bagged);
    if (voyage.bag && s === voyage.bag.atS + voyage.bag.forS) plant.clearIntake(bagged);
    plant.step(1);
    at[s] = startAt + s * 1000;
    for (const probe of probes) {
      const drift = probe === drifting ? voyage.driftK : 0;
      const column = byProbe.get(probe.id);
      if (column) column[s] = plant.elementTemperatureC(probe) + drift + noiseK(probe.place) * chance();
    }
  }
  const firstS = voyage.legs[0]?.forS ?? 0;
  const lastS = lengthS - (voyage.legs.at(-1)?.forS ?? 0);
  return { startAt, at, byProbe, ran: { fromS: firstS, toS: lastS } };
};

const throttleAt = ({ legs, bag }: Voyage, s: number): number => {
  // The throttle is moved: idle from fifty seconds after the bag until a minute after it is gone.
  if (bag && s > bag.atS + 50 && s < bag.atS + bag.forS + 60) return 0.05;
  let left = s;
  for (const leg of legs) {
    if (left < leg.forS) return leg.throttle;
    left -= leg.forS;
  }
  return 0;
};

/** About normal, repeatable: the sum of four uniform draws (Park and Miller's generator), scaled to variance 1. */
const noise = (seed: number): (() => number) => {
  let state = (seed * 7919 + 1) % 2_147_483_647;
  const draw = () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
  return () => (draw() + draw() + draw() + draw() - 2) * Math.sqrt(3);
};
