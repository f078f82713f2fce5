/** The E24 series of preferred values, IEC 60063. */
const series = [
  10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
] as const;

/** Every E24 value from 100 ohms up to but not including 1 megohm, rising. */
export const e24Ohms: readonly number[] = [10, 100, 1000, 10_000].flatMap((decade) =>
  series.map((value) => value * decade),
);

/** The E24 value nearest by ratio. */
export const nearestE24Ohms = (ohms: number): number =>
  e24Ohms.reduce((best, value) =>
    Math.abs(Math.log(value / ohms)) < Math.abs(Math.log(best / ohms)) ? value : best,
  );

/** The largest E24 value of 1 to 91 ohm that is not above; for what a shunt may drop. */
export const largestE24UpTo = (ohms: number): number =>
  [1, 10]
    .flatMap((decade) => series.map((value) => (value * decade) / 10))
    .findLast((value) => value <= ohms) ?? 1;
