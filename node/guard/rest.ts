/** What the hottest elbow of an engine shows now. */
export type ElbowSign = {
  readonly elbowC: number;
  /** 0 while it settles. */
  readonly slopeCPerS: number;
  /** The warning limit of its probe, C. */
  readonly limitC: number;
};

/** The elbow since its running input says stopped. */
export type Rest = {
  readonly forS: number;
  /** The manifold may still be giving it heat, so that even a limit passed proves nothing. */
  readonly soaking: boolean;
  /** Lowest and highest since the stop; the lowest starts again once no heat soaks in any more, C. */
  readonly lowestC: number;
  readonly highestC: number;
  /** How long it has risen fast, and how long it has been hot without heat soak, s. */
  readonly fastS: number;
  readonly hotS: number;
};

/**
 * Chosen on 100 simulated stops, no source: heat soak raised the elbow by 0.06 K/s at most and 27 K in all, began at
 * once and went on for ten minutes and more. Without water an elbow rises by 0.4 to 2 K/s.
 */
const fastCPerS = 0.3;
/**
 * A heavy manifold gave its elbow 0.35 K/s in the first two minutes after a stop that was seen, and the riser of a small engine
 * 0.39 K/s some minutes later while its gas fell (simulated): only what is faster than this says then that such an input is wrong. The limit of a stopped elbow judges all the while.
 */
const fastAtFirstCPerS = 0.6;
const atFirstS = 180;
const fastHoldS = 5;
/** After a stop the elbow, and the probe behind it, still go where they were going. */
const onItsWayS = 60;
const soakShowsWithinS = 300;
const soakRisesK = 4;
const soakFallsK = 3;
const soakLastsS = 2_700;
/** An elbow this warm when nothing is known of what was before may be soaking, C. */
const warmC = 45;
/** Warmer than sun and a hot engine room make it, and risen by this much, C and K. */
const hotC = 55;
const risenK = 12;
const hotHoldS = 10;

/**
 * `ranBefore`: the engine was known to run until now, so that heat will soak in. `metalCools`: its gas falls as that of
 * cooling metal; then a slow rise is heat soak, however late it comes, and only a fast one proves anything. `seenOff`: its
 * input was seen to go from running to stopped not long ago.
 */
export function stepRest(
  before: Rest | undefined,
  sign: ElbowSign,
  ranBefore: boolean,
  dtS: number,
  metalCools = false,
  seenOff = false,
): Rest {
  const { elbowC, slopeCPerS, limitC } = sign;
  if (!before)
    return {
      forS: 0,
      soaking: ranBefore || elbowC > warmC,
      lowestC: elbowC,
      highestC: elbowC,
      fastS: 0,
      hotS: 0,
    };
  const forS = before.forS + dtS;
  const highestC = Math.max(before.highestC, elbowC);
  const lowest = Math.min(before.lowestC, elbowC);
  const soaking = before.soaking && stillSoaks(forS, elbowC, lowest, highestC);
  const lowestC = before.soaking && !soaking ? elbowC : lowest;
  const hot = !soaking && !metalCools && isHot(elbowC, lowestC, highestC, limitC);
  const fastFrom = seenOff && (forS <= atFirstS || metalCools) ? fastAtFirstCPerS : fastCPerS;
  const fast = forS > onItsWayS && slopeCPerS > fastFrom;
  return {
    forS,
    soaking,
    lowestC,
    highestC,
    fastS: fast ? before.fastS + dtS : 0,
    hotS: hot ? before.hotS + dtS : 0,
  };
}

const stillSoaks = (forS: number, elbowC: number, lowestC: number, highestC: number): boolean =>
  forS <= soakShowsWithinS ||
  (forS <= soakLastsS && highestC >= lowestC + soakRisesK && elbowC > highestC - soakFallsK);

/** Risen to where no sun brings it, or at its limit and not on its way down. */
const isHot = (elbowC: number, lowestC: number, highestC: number, limitC: number): boolean =>
  (elbowC >= Math.min(hotC, limitC) && elbowC >= lowestC + risenK) ||
  (elbowC >= limitC && elbowC > highestC - soakFallsK);

/** An elbow that does what no stopped engine's does. */
export const deniesRest = ({ fastS, hotS }: Rest): boolean => fastS >= fastHoldS || hotS >= hotHoldS;
