import type { LatchLimit } from './latch.js';

/**
 * The limit of a stopped engine's elbow, unless it is known to soak up the heat of a manifold that cools; a hot dip in boiling
 * water must sound with the engine off.
 */
export const stoppedElbowLimit = { raiseAt: 93, clearAt: 88, holdS: 5 } as const;

/**
 * After a stop that was seen, while the gas falls as cooling metal does, a healthy elbow warms from the dry riser: no faster than
 * this, C/s (simulated: 0.39 at most; a probe in boiling water is faster). Few soak beyond 98 C (3 of 120 simulated boats after half an
 * hour at full power), and an engine that idles while its input says stopped has gas that falls likewise: this is the end of it where
 * the gas is no hotter than an idling engine makes it.
 */
const soaksCPerS = 0.45;
const hottestSoakC = 98;
/**
 * Gas that stays hotter than idling makes it, minutes after a stop and falling, is metal: such a riser takes a healthy elbow further,
 * and few engines idle there (one that runs on under light load behind an input that says stopped may hide here for minutes). Beyond this no hose is rated (121 C is the better of its two usual ratings; common practice, the
 * document was not read), C.
 */
const hottestBesideHotMetalC = 120;

/** The standard warning limit of a wet elbow, C: what `elbowLimits` of `settings-from-kit.ts` says. */
export const standardWarningC = 82;

/** Room above the elbow for noise of a 10-bit reading and a last rise of its heat, K; chosen on simulated boats, no source. */
const aboveElbowK = 3;
/** Water takes this long to reach the elbow of a pump that has run dry, s; common practice, no source. */
export const primesWithinS = 30;
/** From then on a cooled elbow falls faster than this; simulated ones fall by 0.3 to 2 K/s, C/s. */
export const cooledCPerS = 0.15;
/**
 * Water that stood in a warm exchanger reaches the elbow as a hot slug after a restart and warms it for as long as the
 * exchanger takes to empty, s. Until then neither a fast rise nor a limit set tighter than the standard one proves anything;
 * the standard limits judge as ever. An engine that ran for this long within the last hour is warm, s. Common practice, no source.
 */
const slugS = 30;
const warmEngineS = 60;
/** No limit is set as low as this, C. */
const forgottenC = 40;

type Now = {
  readonly stopped: boolean;
  /** Its stop was seen and its gas has fallen for a while as metal cools. */
  readonly metalCools: boolean;
  /** And its gas is still hotter than an idling engine makes it. */
  readonly metalHot?: boolean;
  readonly elbowC: number | undefined;
  readonly runningForS: number;
  /** How long the engine had warmed through, s. */
  readonly warmS: number;
  readonly dtS: number;
};

/** Whether the first water after a hot restart may still be on its way through the elbow. */
export const isSlug = ({ runningForS, warmS }: Pick<Now, 'runningForS' | 'warmS'>): boolean =>
  runningForS < slugS && warmS > warmEngineS;

/**
 * How hot an elbow may still be after a start because of what it soaked up while the engine stood, C; undefined when
 * nothing is left of that. It follows the elbow down and, but for the first hot slug, never up; and it falls by itself when the
 * elbow does not: an elbow that stays hot or warms was not reached by its water.
 */
export function soakAllowance(beforeC: number | undefined, now: Now): number | undefined {
  if (now.stopped) return whileStopped(beforeC, now);
  if (beforeC === undefined || now.elbowC === undefined) return beforeC;
  const fallenC = now.runningForS > primesWithinS ? beforeC - cooledCPerS * now.dtS : beforeC;
  const followedC = Math.min(fallenC, now.elbowC + aboveElbowK);
  const allowedC = isSlug(now) ? Math.max(standardWarningC, followedC) : followedC;
  return allowedC < forgottenC ? undefined : allowedC;
}

function whileStopped(
  beforeC: number | undefined,
  { elbowC, metalCools, metalHot = false, dtS }: Now,
): number {
  const changedC = (beforeC ?? stoppedElbowLimit.raiseAt) + (metalCools ? soaksCPerS : -cooledCPerS) * dtS;
  // What it soaked up beside hot metal it may keep, and follow down, when the metal is no hotter than idling gas; and nothing more.
  const mostC = metalHot ? hottestBesideHotMetalC : Math.max(hottestSoakC, beforeC ?? 0);
  return Math.max(
    stoppedElbowLimit.raiseAt,
    Math.min(changedC, mostC, (elbowC ?? Number.NEGATIVE_INFINITY) + aboveElbowK),
  );
}

/** The limit with the allowance: never lower than it was. */
export const withAllowance = (limit: LatchLimit, allowedC: number | undefined): LatchLimit =>
  allowedC === undefined || allowedC <= limit.raiseAt
    ? limit
    : { ...limit, raiseAt: allowedC, clearAt: allowedC - (limit.raiseAt - limit.clearAt) };
