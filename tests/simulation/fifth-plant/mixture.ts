import { gasJPerKgK, seaJPerKgK, steamJPerKg } from './lump.js';

type Stream = { readonly kgPerS: number; readonly atC: number };

/**
 * Temperature that gas, water and the moisture in the gas have in common, and what the moisture takes along.
 * `extraW` comes from the wall. The balance falls steadily with the temperature, so halving finds it.
 */
export function mixture(gas: Stream, water: Stream, extraW: number): { atC: number; steamW: number } {
  const gasWPerK = gas.kgPerS * gasJPerKgK;
  const waterWPerK = water.kgPerS * seaJPerKgK;
  const steamW = (atC: number) => Math.min(water.kgPerS, gas.kgPerS * moisture(atC)) * steamJPerKg;
  let low = Math.min(0, water.atC);
  let high = Math.max(gas.atC, water.atC) + 50;
  for (let halving = 0; halving < 16; halving++) {
    const atC = (low + high) / 2;
    if (gasWPerK * (gas.atC - atC) + extraW > waterWPerK * (atC - water.atC) + steamW(atC)) low = atC;
    else high = atC;
  }
  const atC = (low + high) / 2;
  return { atC, steamW: steamW(atC) };
}

/** Water that a kilogram of saturated gas carries at 1 bar, kg; no bound from 100 C on. Magnus form, WMO coefficients. */
function moisture(atC: number): number {
  const kpa = 0.6112 * Math.exp((17.62 * atC) / (243.12 + atC));
  return kpa >= 99 ? Number.POSITIVE_INFINITY : (0.622 * kpa) / (100 - kpa);
}
