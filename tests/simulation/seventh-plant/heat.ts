/** Specific heats, J/(kg K): sea water of 35 g/kg (handbook, 3990), lean exhaust gas at a few hundred C, steam. */
export const seaWaterJPerKgK = 3990;
export const exhaustJPerKgK = 1090;
export const steamJPerKgK = 2000;
/** Density of sea water, kg/L. */
export const seaWaterKgPerLitre = 1.025;
/** Heat of evaporation of water at 50 C and at 100 C, J/kg (steam tables). */
export const evaporation50JPerKg = 2_382_000;
export const evaporation100JPerKg = 2_257_000;
/** Net calorific value of diesel fuel, J/kg. */
export const dieselJPerKg = 42_700_000;

/** One implicit step of a lag: never overshoots, however short the time constant. */
export const lagged = (now: number, target: number, dtS: number, tauS: number): number =>
  now + ((target - now) * dtS) / (tauS + dtS);

/**
 * Effectiveness of a counterflow exchanger, 0 to 1, from its number of transfer units and the ratio of the smaller to
 * the larger capacity flow (Kays and London).
 */
export function counterflow(ntu: number, ratio: number): number {
  if (ratio > 0.995) return ntu / (1 + ntu);
  const decay = Math.exp(-ntu * (1 - ratio));
  return (1 - decay) / (1 - ratio * decay);
}
