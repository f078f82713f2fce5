/** How fast a probe follows, and what that costs when the water stops. */
export type Mounting = 'strap-on' | 'well' | 'free';

/**
 * Time constants of mountings, seconds, as bands (common practice, no source; the bench's invented plant uses the
 * same). A ring on the metal waits for its own potting; a well in the stream for its sheath.
 */
export const timeConstantBandS: Readonly<Record<Mounting, readonly [shortest: number, longest: number]>> = {
  'strap-on': [8, 20],
  well: [2, 4],
  free: [3, 6],
};

/** From total loss of raw water to the probe passing a temperature, in seconds. */
type LossTable = readonly (readonly [alarmAtC: number, strapOnS: number, wellS: number])[];

/**
 * Simulation on the bench's invented plant (two nominal engines, sea at 18 C, warm): expect other times afloat.
 * What carries over is the difference between the mountings: a well sees the gas, a ring waits for the wall.
 */
const lossTables: Readonly<Record<'cruise' | 'wide-open', LossTable>> = {
  cruise: [
    [60, 46, 13],
    [65, 52, 14],
    [70, 58, 16],
    [75, 65, 18],
    [80, 72, 20],
    [85, 80, 22],
    [90, 88, 25],
    [95, 98, 29],
    [100, 108, 35],
  ],
  'wide-open': [
    [60, 32, 10],
    [65, 35, 11],
    [70, 38, 13],
    [75, 42, 14],
    [80, 46, 15],
    [85, 50, 16],
    [90, 53, 18],
    [95, 58, 20],
    [100, 62, 21],
  ],
};

const between = (table: LossTable, alarmAtC: number, column: 1 | 2): number | undefined => {
  const above = table.findIndex(([atC]) => atC >= alarmAtC);
  const [low, high] = [table[Math.max(0, above - 1)], table[above]];
  if (!low || !high || alarmAtC < low[0]) return undefined;
  const share = high[0] === low[0] ? 0 : (alarmAtC - low[0]) / (high[0] - low[0]);
  return low[column] + share * (high[column] - low[column]);
};

export type ResponseCost = {
  readonly load: 'cruise' | 'wide-open';
  readonly strapOnS: number;
  readonly wellS: number;
  /** What the ring costs against the well, seconds. */
  readonly costS: number;
};

/** What a ring costs against a well at this alarm; nothing where the table (60 to 100 C) does not reach. */
export const responseCosts = (alarmAtC: number): readonly ResponseCost[] =>
  (['cruise', 'wide-open'] as const).flatMap((load) => {
    const [strapOnS, wellS] = [
      between(lossTables[load], alarmAtC, 1),
      between(lossTables[load], alarmAtC, 2),
    ];
    return strapOnS === undefined || wellS === undefined
      ? []
      : [{ load, strapOnS, wellS, costS: strapOnS - wellS }];
  });
