import { largestE24UpTo } from './e24.js';

/**
 * What the shunt may take of the buzzer's supply at its rated current, V: 51 counts of a 10-bit converter on 5 V, and little
 * against the 5 V at the gate of Q3, whose source it lifts.
 */
const dropVolts = 0.25;

/** The shunt in the 0 V of Q2 and Q3 for a buzzer of this many mA: an E24 value, ohm. */
export const buzzerShuntOhms = (ratedMilliamps: number): number =>
  largestE24UpTo((dropVolts / ratedMilliamps) * 1000);

/** Counts of a 10-bit converter at the rated current, and the heat in the shunt, W. */
export const shuntMarks = (ratedMilliamps: number, shuntOhms: number, supplyVolts: number) => {
  const amps = ratedMilliamps / 1000;
  return { counts: ((amps * shuntOhms) / supplyVolts) * 1024, watts: amps ** 2 * shuntOhms };
};
