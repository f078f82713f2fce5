/**
 * What a raw-water pump gives when all is well, by the load it was seen at. Learned by the guard itself while it watches,
 * bounded, and kept over a restart; it forgets over some twenty hours, so that a new impeller becomes the normal one.
 */
export type PumpMemory = {
  /** By exhaust gas, which shows the load; null where no load was met. */
  readonly bins: readonly (PumpBin | null)[];
};
export type PumpBin = { readonly seconds: number; readonly meanKpa: number; readonly variance: number };

/** Width of a bin of exhaust gas, C. */
const binC = 20;
const mostBins = 60;
/** A bin says something from here on, and forgets beyond this, s. */
const leastS = 20;
const mostS = 72_000;

export const nothingLearned: PumpMemory = { bins: [] };

const indexOf = (gasC: number): number => Math.max(0, Math.min(mostBins - 1, Math.floor(gasC / binC)));

export function learn(memory: PumpMemory, gasC: number, kpa: number, dtS: number): PumpMemory {
  const i = indexOf(gasC);
  const before = memory.bins[i] ?? { seconds: 0, meanKpa: kpa, variance: 0 };
  const seconds = Math.min(mostS, before.seconds + dtS);
  const share = dtS / Math.max(seconds, dtS);
  const off = kpa - before.meanKpa;
  const bins = [...memory.bins];
  while (bins.length <= i) bins.push(null);
  bins[i] = {
    seconds,
    meanKpa: before.meanKpa + share * off,
    variance: (1 - share) * (before.variance + share * off * off),
  };
  return { bins };
}

export type Expected = {
  readonly meanKpa: number;
  /** Nearly all normal seconds at this load were above this, kPa. */
  readonly lowKpa: number;
};

/** How far below its mean normal running goes, standard deviations; with 2.5 one second in 160 of a bell is lower. */
const lowSigmas = 2.5;

const asExpected = ({ meanKpa, variance }: PumpBin): Expected => ({
  meanKpa,
  lowKpa: meanKpa - lowSigmas * Math.sqrt(variance),
});

/**
 * At this load. Exhaust gas goes with the load not strictly (a hot manifold warms it), so only the load itself counts,
 * and the lowest of its neighbours.
 *
 * Not by crankshaft speed: the water behind a pump follows a throttle that is slammed open seconds after the crankshaft,
 * which looks like a loss by speed. Exhaust gas lags as the water does.
 */
export function expectedAt(memory: PumpMemory, gasC: number): Expected | undefined {
  const at = Math.min(indexOf(gasC), memory.bins.length - 1);
  const own = memory.bins[at];
  if (!own || own.seconds < leastByGasS) return undefined;
  const beside = memory.bins.slice(Math.max(0, at - 1), at + 2).filter((bin) => bin !== null);
  return { meanKpa: own.meanKpa, lowKpa: Math.min(...beside.map((bin) => asExpected(bin).lowKpa)) };
}

/** A bin of exhaust gas must have seen the gas come from above and from below, s. */
const leastByGasS = 60;

/**
 * At idle, where no healthy running engine's pump gives less, whatever it does. A pump goes with its engine, so idle is
 * known once the greatest pressure seen is some times the least: nominal speed is three to four times idle, and pressure
 * goes with its square, less the column in the hose.
 */
export function idleExpected(memory: PumpMemory): Expected | undefined {
  let least: PumpBin | undefined;
  let greatest = 0;
  let allS = 0;
  for (const bin of memory.bins) {
    if (!bin || bin.seconds < leastS) continue;
    allS += bin.seconds;
    greatest = Math.max(greatest, bin.meanKpa);
    if (!least || bin.meanKpa < least.meanKpa) least = bin;
  }
  const manyLoads = allS >= idleMet.afterS && rangeC(memory) >= idleMet.rangeC;
  const met = least && (least.meanKpa * idleFactor <= greatest || manyLoads);
  return least && met ? asExpected(least) : undefined;
}

const idleFactor = 2.5;
/** A pump behind a high column never gives that many times the least; but in hours at many loads, s and K of gas, idle was among them. */
const idleMet = { afterS: 7200, rangeC: 100 } as const;
/** From the coolest gas that was met to the hottest, K. */
const rangeC = ({ bins }: PumpMemory): number =>
  (bins.length - 1 - bins.findIndex((bin) => bin && bin.seconds >= leastS)) * binC;

/** The greatest pressure that is known of any load, kPa; 0 where none is. */
export const greatestKpa = ({ bins }: PumpMemory): number =>
  bins.reduce((most, bin) => (bin && bin.seconds >= leastS ? Math.max(most, bin.meanKpa) : most), 0);

/**
 * The hottest gas at which no more than this pressure is usual, C, in the middle of its bin; of a lower pressure than any that is known the
 * coolest gas that is. Undefined where nothing is known.
 */
export function gasAt({ bins }: PumpMemory, kpa: number): number | undefined {
  const isKnown = (bin: PumpBin | null): bin is PumpBin => bin !== null && bin.seconds >= leastS;
  const hottest = bins.findLastIndex((bin) => isKnown(bin) && bin.meanKpa <= kpa);
  const at = hottest >= 0 ? hottest : bins.findIndex(isKnown);
  return at < 0 ? undefined : (at + 0.5) * binC;
}

/** Nominal speed is three to four times idle (common practice, no source): flow at idle, of full flow. */
const idleFlow = 0.3;

/**
 * Flow of full flow at this pressure, from idle up. The pressure of a circuit goes with the square of the flow, above what the
 * column of water in the hose gives.
 */
export function flowAt(memory: PumpMemory, kpa: number): number {
  const greatest = greatestKpa(memory);
  if (greatest === 0) return 1;
  const least = idleExpected(memory)?.meanKpa;
  const square =
    least === undefined || least >= greatest
      ? kpa / greatest
      : idleFlow ** 2 + ((1 - idleFlow ** 2) * (kpa - least)) / (greatest - least);
  return Math.sqrt(Math.min(1, Math.max(idleFlow ** 2, square)));
}

/** The fastest idle, of full speed: what makes the least column. Full speed may not have been met yet, which makes too much of it. */
const fastestIdle = 1 / 3;

/** What the column of water in the hose gives at least, kPa, from idle and full flow; 0 where idle is not known. */
export function columnKpa(memory: PumpMemory): number {
  const least = idleExpected(memory)?.meanKpa;
  if (least === undefined) return 0;
  return Math.max(0, (least - fastestIdle ** 2 * greatestKpa(memory)) / (1 - fastestIdle ** 2));
}

/** The same memory, with a zero that was found to be so much higher. */
export const aboveZero = ({ bins }: PumpMemory, byKpa: number): PumpMemory => ({
  bins: bins.map((bin) => bin && { ...bin, meanKpa: bin.meanKpa - byKpa }),
});
