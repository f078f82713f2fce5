import { gasJPerKgK } from './engine.js';

/** Sea water, J/(kg K); heat of evaporation near 60 C and heat of vapour; air pressure. Handbook values from memory. */
export const waterJPerKgK = 4000;
export const vapourJPerKg = 2.36e6;
const steamJPerKgK = 1900;
const airKpa = 101.3;

/** Kilograms of vapour that one of dry gas holds at this temperature: Magnus formula, then Dalton. Below 100 C. */
export function saturatedKgPerKg(temperatureC: number): number {
  const vapourKpa = 0.6112 * Math.exp((17.62 * temperatureC) / (243.12 + temperatureC));
  return (0.622 * vapourKpa) / Math.max(0.3, airKpa - vapourKpa);
}

/**
 * Adiabatic saturation: where gas and water end that share all their heat, C. Water evaporates until the gas is full or
 * the water is gone; vapour of the combustion that cold water cannot leave in the gas gives its heat back.
 */
export function saturate(
  gas: { kgPerS: number; temperatureC: number; vapourKgPerKg: number },
  water: { kgPerS: number; temperatureC: number },
): number {
  const [gasWPerK, waterWPerK] = [gas.kgPerS * gasJPerKgK, water.kgPerS * waterJPerKgK];
  const takes = (endC: number) =>
    gasWPerK * (gas.temperatureC - endC) -
    waterWPerK * (endC - water.temperatureC) -
    gas.kgPerS * (saturatedKgPerKg(endC) - gas.vapourKgPerKg) * vapourJPerKg;
  let [low, high] = [Math.min(water.temperatureC, gas.temperatureC) - 1, 99.5];
  if (takes(high) < 0) {
    // Bisection: eleven halvings of less than 100 K end within 0.05 K, a secant through the last two makes it smooth.
    for (let halving = 0; halving < 11; halving++) {
      const middle = (low + high) / 2;
      if (takes(middle) > 0) low = middle;
      else high = middle;
    }
    const [above, below] = [takes(low), takes(high)];
    low += ((high - low) * above) / (above - below);
  } else low = high;
  const evaporates = gas.kgPerS * (saturatedKgPerKg(low) - gas.vapourKgPerKg);
  if (evaporates <= water.kgPerS) return low;
  const steamWPerK = water.kgPerS * steamJPerKgK;
  const heatW =
    gasWPerK * gas.temperatureC +
    waterWPerK * (water.temperatureC - 100) +
    steamWPerK * 100 -
    water.kgPerS * vapourJPerKg;
  return Math.max(low, heatW / (gasWPerK + steamWPerK));
}
