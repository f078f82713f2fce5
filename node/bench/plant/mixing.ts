/** Specific heats in kJ/(kg K) and the heat of evaporation in kJ/kg; handbook values, rounded. */
export const gasCp = 1.09;
export const seaWaterCp = 3.99;
export const evaporationKjPerKg = 2400;
/** Water already in the exhaust gas of a diesel, kg a kg; from memory. */
const gasHumidity = 0.04;

/** Vapour pressure over water in kPa by the Magnus form (Alduchov and Eskridge 1996), 0 to 100 C. */
const vapourKpa = (temperatureC: number): number =>
  0.61094 * Math.exp((17.625 * temperatureC) / (temperatureC + 243.04));

/** Water that a kilogram of dry gas can hold as vapour at one atmosphere, kg; grows to 190 at 100 C. */
function saturation(temperatureC: number): number {
  const kpa = Math.min(101, vapourKpa(temperatureC));
  return (0.622 * kpa) / (101.325 - kpa);
}

export type Streams = {
  readonly gasKgPerS: number;
  readonly gasC: number;
  readonly waterKgPerS: number;
  readonly waterC: number;
};

/** What evaporates at this mixture temperature: the gas takes what it can hold, if there is as much. */
export function evaporatedKgPerS({ gasKgPerS, waterKgPerS }: Streams, mixC: number): number {
  const room = gasKgPerS * (saturation(mixC) - gasHumidity);
  return Math.min(waterKgPerS, Math.max(0, room));
}

/** Heat the streams have left over at a trial temperature, kW; falls steadily with it and is zero at the answer. */
export const mixingSurplusKw = (streams: Streams, mixC: number): number =>
  streams.gasKgPerS * gasCp * (streams.gasC - mixC) -
  streams.waterKgPerS * seaWaterCp * (mixC - streams.waterC) -
  evaporatedKgPerS(streams, mixC) * evaporationKjPerKg;

/**
 * Temperature of exhaust gas and raw water after they have met and water has evaporated into the gas. The heat that is
 * left unaccounted for is less than 0.1 K of the gas; near 100 C, where vapour takes all, that needs a temperature far
 * finer. `guessC` (the last answer) makes it quick. With no flow at all the guess is the answer.
 */
export function mixtureC(streams: Streams, guessC: number): number {
  if (streams.gasKgPerS + streams.waterKgPerS < 1e-6) return guessC;
  const smallKw = 0.1 * gasCp * Math.max(streams.gasKgPerS, 1e-3 * streams.waterKgPerS);
  let low = Math.min(streams.waterC, streams.gasC, 0) - 5;
  let high = Math.max(streams.waterC, streams.gasC);
  let trial = Math.min(high, Math.max(low, guessC));
  for (let i = 0; i < 60; i++) {
    const surplus = mixingSurplusKw(streams, trial);
    if (Math.abs(surplus) < smallKw) return trial;
    if (surplus > 0) low = trial;
    else high = trial;
    const slope = (mixingSurplusKw(streams, trial + 1e-4) - surplus) / 1e-4;
    const newton = slope < 0 && i < 8 ? trial - surplus / slope : Number.NaN;
    trial = newton > low && newton < high ? newton : (low + high) / 2;
  }
  return trial;
}
