/**
 * The gulps of air that an intake draws in a seaway: the pressure behind the pump goes as if all water were lost, and comes back by
 * itself within seconds. How much air comes is the boat's own (depth of the intake, hull), and it takes as long to pass as the pump
 * needs to move so much: at idle three times as long as at full speed. So the amount is learned, and not the time.
 */
export type Gulps = {
  /** The present loss: how long it has lasted, s, and what the pump would have moved in it, s of its full flow. */
  readonly lostS: number;
  readonly lostFlowS: number;
  /** The least pressure in it, kPa. */
  readonly leastKpa: number;
  /** It has ended, but the water is not yet all there, s. */
  readonly comingS: number;
  /** The largest of late that ended by itself, s of full flow. */
  readonly largestFlowS: number;
  /** How many ended by themselves. */
  readonly seen: number;
  /** Part of the time of the last minutes that gulps took which ended by themselves. */
  readonly lostPart: number;
};

export const noGulps: Gulps = {
  lostS: 0,
  lostFlowS: 0,
  leastKpa: 0,
  comingS: 0,
  largestFlowS: 0,
  seen: 0,
  lostPart: 0,
};

/** A loss of more is no gulp, s of full flow; no source: at 235 kW that is twelve litres, more than hose and strainer hold. */
const largestGulpFlowS = 3;
/** Forgotten over so many running seconds: some forty hours, a season of calm weather. */
const forgetsS = 144_000;
/**
 * The next gulp may be larger than those before, the more so the fewer they were: of two that are drawn alike the second may well be
 * twice the first. Half as large again at least: the flow is known by its pressure only, and two gulps may follow at once. And s for
 * what the probe's snubber adds.
 */
const largerBy = (seen: number): number => Math.max(1.5, 1 + 1.5 / seen);
const longerS = 0.4;
const manySeen = 100;
/** Out of a hole the pressure is a multiple of the least in it; around a threshold, as with a clogging strainer, it is not. */
const outTimes = 2;
/** Water that comes back is all there within this, s; on the invented plants after two. */
const comesWithinS = 4;
/** No gulp holds an alarm back for longer, s: with the fall of the pressure some seven without water, at idle. */
const mostHoldS = 6.6;
/** The memory of how much of the time was lost, s. */
const lostPartTauS = 300;
/**
 * No sea draws so much air for minutes: on the invented plants a gulp a minute loses a tenth of the time at idle. A loose clamp, a
 * split hose or a half-blocked intake does, part of the time.
 */
const mostLostPart = 0.25;
const againPart = 0.15;

type Pass = {
  /** The water seems lost; or it flows as before again: what ends without that was a closed throttle. */
  readonly lost: boolean;
  readonly back: boolean;
  /** Of full flow, as it was just before. */
  readonly flow: number;
  readonly kpa: number;
  readonly dtS: number;
};

/** Steps with one pass of `dtS` seconds. */
export function stepGulps(earlier: Gulps, { lost, back, flow, kpa, dtS }: Pass): Gulps {
  const { lostS, lostFlowS, comingS, largestFlowS, seen } = earlier;
  const lostPart = earlier.lostPart * Math.exp(-dtS / lostPartTauS);
  const before = { ...earlier, lostPart };
  if (lost) {
    const leastKpa = lostS === 0 ? kpa : Math.min(before.leastKpa, kpa);
    return { ...before, lostS: lostS + dtS, lostFlowS: lostFlowS + flow * dtS, leastKpa, comingS: 0 };
  }
  const remembered = largestFlowS * Math.exp(-dtS / forgetsS);
  // The water comes back over some passes.
  const comesS = lostS > 0 && !back ? comingS + dtS : 0;
  if (comesS > 0 && comesS < comesWithinS) return { ...before, comingS: comesS, largestFlowS: remembered };
  const wasHole = back && kpa > outTimes * before.leastKpa;
  if (lostS === 0 || !wasHole || lostFlowS > largestGulpFlowS)
    return { ...noGulps, largestFlowS: remembered, seen, lostPart };
  return {
    ...noGulps,
    largestFlowS: Math.max(remembered, lostFlowS),
    seen: Math.min(manySeen, seen + 1),
    lostPart: lostPart + (lostS + comingS) / lostPartTauS,
  };
}

/** How long a loss must last at this flow to be no gulp of this boat's, s; 0 where none was met, 6.6 at the most. */
export const holdAfterGulps = ({ largestFlowS, seen }: Gulps, flow: number): number =>
  seen === 0
    ? 0
    : Math.min(mostHoldS, Math.min(largestGulpFlowS, largerBy(seen) * largestFlowS) / flow + longerS);

/**
 * Whether gulps follow one another as no sea draws them: each is over too soon to be a loss, and the engine lacks the water all the
 * same. `before` is the answer of the pass before.
 */
export const drawsAirAllTheTime = ({ lostPart }: Gulps, before: boolean): boolean =>
  lostPart > (before ? againPart : mostLostPart);
