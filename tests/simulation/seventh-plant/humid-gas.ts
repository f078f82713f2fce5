import { evaporation50JPerKg, exhaustJPerKgK, seaWaterJPerKgK } from './heat.js';

const atmosphereKpa = 101.3;
/** Molar mass of water over that of air; lean exhaust gas weighs nearly what air does. */
const massRatio = 0.622;
/** Above this the psychrometric ratio grows without bound, C. */
const hottestWetC = 97;
/** Newton steps of one call, and the longest: the curve is so steep near boiling that a free step would jump there. */
const searches = 6;
const strideK = 12;

/** Vapour pressure over water, kPa: Magnus formula with the constants of the WMO guide; 2.5 % high at 100 C. */
const vapourKpa = (c: number): number => 0.6112 * Math.exp((17.62 * c) / (243.12 + c));

/** Water vapour that saturates a kilogram of dry gas at one atmosphere, kg/kg, for 0 to 97 C. */
export function saturationKgPerKg(c: number): number {
  const kpa = vapourKpa(Math.min(hottestWetC, c));
  return (massRatio * kpa) / (atmosphereKpa - kpa);
}

/**
 * The temperature, C, at which gas and the water sprayed into it come to rest, when all of both meet: the gas is
 * saturated, or all the water has evaporated. `nearC` is where the search begins, best the last answer.
 */
export function quenchedC(
  gasKgPerS: number,
  gasC: number,
  gasHumidity: number,
  waterKgPerS: number,
  waterC: number,
  nearC: number,
): number {
  const gasWPerK = gasKgPerS * exhaustJPerKgK;
  const waterWPerK = waterKgPerS * seaWaterJPerKgK;
  const allVapour = gasHumidity + waterKgPerS / gasKgPerS;
  const dryC =
    (gasWPerK * gasC + waterWPerK * waterC - waterKgPerS * evaporation50JPerKg) / (gasWPerK + waterWPerK);
  if (dryC >= hottestWetC || (dryC > 0 && saturationKgPerKg(dryC) > allVapour)) return dryC;
  let c = Math.min(hottestWetC, Math.max(0, nearC));
  for (let i = 0; i < searches; i++) {
    const saturation = saturationKgPerKg(c);
    // d(ln w)/dT of the Magnus formula, and the pressure left for the dry gas.
    const slope = ((saturation * 4283.8) / (243.12 + c) ** 2) * (1 + saturation / massRatio);
    const left =
      gasWPerK * (gasC - c) +
      waterWPerK * (waterC - c) -
      gasKgPerS * evaporation50JPerKg * (saturation - gasHumidity);
    const step = left / (gasWPerK + waterWPerK + gasKgPerS * evaporation50JPerKg * slope);
    c = Math.min(hottestWetC, Math.max(-2, c + Math.max(-strideK, Math.min(strideK, step))));
    if (Math.abs(step) < 0.01) break;
  }
  return c;
}
