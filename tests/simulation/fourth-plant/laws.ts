const { exp, max, min, sqrt } = Math;

/** Specific heats, kJ/(kg K), heat of evaporation at some 50 C and lower heating value of diesel, kJ/kg; textbook tables. */
export const gasCp = 1.11;
export const seaCp = 3.99;
export const evaporationKjPerKg = 2380;
export const fuelKjPerKg = 42_700;

/** Kilowatts a kelvin between the inlets of a counterflow exchanger: effectiveness-NTU (Kays and London). All in kW/K. */
export function counterflowKwPerK(hot: number, cold: number, ua: number): number {
  const least = min(hot, cold);
  if (least < 1e-7) return 0;
  const ratio = min(0.999, least / max(hot, cold));
  const left = exp((-ua / least) * (1 - ratio));
  return (least * (1 - left)) / (1 - ratio * left);
}

/** The same for one stream along a wall of one temperature. */
export const alongWallKwPerK = (stream: number, ua: number): number =>
  stream < 1e-7 ? 0 : stream * (1 - exp(-ua / stream));

/** Gas film in a short bent pipe, kW/(m2 K): Dittus-Boelter at about 400 C, 2.5 times for bend and inlet (from memory). */
export function gasFilmKwPerM2K(kgPerS: number, boreM: number): number {
  const reynolds = (4 * kgPerS) / (Math.PI * boreM * 3.3e-5);
  return (2.5 * 5.2e-5 * max(3.66, 0.023 * reynolds ** 0.8 * 0.7 ** 0.4)) / boreM;
}

/** Vapour that a kilogram of gas holds over water of this temperature, kg: Antoine's equation, 1 to 100 C, one atmosphere. */
function saturation(waterC: number): number {
  const kpa = 0.133322 * 10 ** (8.07131 - 1730.63 / (233.426 + waterC));
  return (0.622 * kpa) / max(0.1, 101.325 - kpa);
}

export type Streams = Readonly<Record<'gasKgPerS' | 'gasC' | 'waterKgPerS' | 'waterC', number>>;

/**
 * Common temperature of gas and water at the end of their mixing, C, and the vapour in the gas, kg/s: an enthalpy balance.
 * Walls take `lostKw` from both; the gas reaches the part `saturates` of saturation.
 */
export function mixed(
  streams: Streams,
  lostKw: number,
  saturates: number,
): { mixC: number; vapourKgPerS: number } {
  const { gasKgPerS, gasC, waterKgPerS, waterC } = streams;
  let low = -20;
  let high = max(gasC, waterC) + 60;
  let vapourKgPerS = 0;
  for (let i = 0; i < 22; i++) {
    const trialC = (low + high) / 2;
    vapourKgPerS = min(waterKgPerS, saturates * gasKgPerS * saturation(trialC));
    const sensibleKw = gasKgPerS * gasCp * (gasC - trialC) + waterKgPerS * seaCp * (waterC - trialC);
    if (sensibleKw > lostKw + vapourKgPerS * evaporationKjPerKg) low = trialC;
    else high = trialC;
  }
  return { mixC: low, vapourKgPerS };
}

/**
 * Swept flow kg/s, slip past the vanes kg/s a kPa, standing head kPa, drops behind and before the pump kPa/(kg/s)2, and the
 * deepest suction before water boils or vanes fold, kPa.
 */
export type Circuit = Readonly<
  Record<'swept' | 'slip' | 'standingKpa' | 'behind' | 'before' | 'deepestKpa', number>
>;

/** Flow of a displacement pump against standing head and turbulent drops, kg/s: the quadratic solved, cavitation as a cap. */
export function pumpedKgPerS({ swept, slip, standingKpa, behind, before, deepestKpa }: Circuit): number {
  const free = max(0, swept - slip * standingKpa);
  const flow = (2 * free) / (1 + sqrt(1 + 4 * slip * (behind + before) * free));
  return min(flow, sqrt(deepestKpa / before));
}
