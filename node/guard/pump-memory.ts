/**
 * What a raw-water pump gives when all is well, by the load it was seen at. Learnt by the guard itself while it watches,
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

export const nothingLearnt: PumpMemory = { bins: [] };

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
  let greatestKpa = 0;
  for (const bin of memory.bins) {
    if (!bin || bin.seconds < leastS) continue;
    greatestKpa = Math.max(greatestKpa, bin.meanKpa);
    if (!least || bin.meanKpa < least.meanKpa) least = bin;
  }
  return least && least.meanKpa * idleFactor <= greatestKpa ? asExpected(least) : undefined;
}

const idleFactor = 2.5;
