/**
 * What the exhaust gas was lately, as three first-order memories in C. The elbow answers the load late; these say how
 * late. `a` 6 s, `b` 22 s, `c` 110 s.
 */
export type ExhaustMemory = { readonly a: number; readonly b: number; readonly c: number };

const aTauS = 6;
const bTauS = 22;

export function stepExhaustMemory(
  memory: ExhaustMemory | undefined,
  gasC: number,
  dtS: number,
): ExhaustMemory {
  if (!memory) return { a: gasC, b: gasC, c: gasC };
  return {
    a: memory.a + (gasC - memory.a) * (1 - Math.exp(-dtS / aTauS)),
    b: memory.b + (gasC - memory.b) * (1 - Math.exp(-dtS / bTauS)),
    c: memory.c + (gasC - memory.c) * (1 - Math.exp(-dtS / 110)),
  };
}

/**
 * Exhaust gas this hot and not falling is made by a running engine. After a stop the probe settles on the manifold,
 * which can be warmer than idling gas was, so that less heat than this proves nothing: an idling engine is not seen.
 */
export const isFiring = (memory: ExhaustMemory): boolean => memory.a > 220 && memory.a - memory.c > -4;

/** Gas on its way down, also where it is still above its slow memory, as after a stop from a burst of load. */
export const isFalling = ({ a, b }: ExhaustMemory): boolean => a - b < -4;

/**
 * Gas that falls as after a throttle that was closed. The pump then moves a quarter of the water past a coolant that is still as
 * warm, so that a healthy elbow warms by 10 to 30 K within half a minute and cools again once the thermostat has closed: how
 * fast an elbow rises proves nothing while this lasts. From the heat balance of an exchanger; simulated ones do so.
 */
export const isThrottledBack = ({ a, b }: ExhaustMemory): boolean => a - b < -10;

/** Gas that neither rises nor falls, now and over two minutes: the crossing from a rise to a fall is not steady. */
export const isSteady = (memory: ExhaustMemory): boolean =>
  Math.abs(memory.a - memory.c) <= 10 && isLevel(memory);

/** Gas that neither rises nor falls now, whatever it did two minutes ago. */
export const isLevel = ({ a, b }: ExhaustMemory): boolean => Math.abs(a - b) <= 4;

/** Warm gas that does not fall. A stopped engine's probe follows the cooling manifold: down, by more than this. */
export const isHeld = (memory: ExhaustMemory): boolean => memory.a > 120 && memory.a - memory.c > -1;

/**
 * Gas on its way up, at whatever temperature, by more than the manifold warms it after a stop from wide open: there it
 * rose by 45 K in three minutes, 23 K above the slow memory, in 1 of 16 simulated boats.
 */
export const isRising = ({ a, b, c }: ExhaustMemory): boolean => a - c > 40 && a - b > 3;

/** Gas ahead of its 22 s memory by 5 K rises as after a throttle that was opened, whatever it did minutes ago. */
export const risesNow = ({ a, b }: ExhaustMemory): boolean => a - b >= 5;

/** Gas that falls by 0.02 K/s or more: metal 70 K above its surroundings that takes an hour to cool by 63 % does so. */
export const fallsAsMetal = ({ a, b }: ExhaustMemory): boolean => a - b < -0.3;

/**
 * Gas that falls as fast at the least as around metal that takes an hour to cool by 63 % towards a hot engine room: the heaviest
 * manifolds do (common practice, no source; simulated ones that took an elbow beyond 98 C took 10 to 18 minutes), and the gas of an
 * engine that settles to another load soon falls slower.
 */
export const fallsAsHotMetal = ({ a, b }: ExhaustMemory): boolean =>
  b - a >= ((bTauS - aTauS) * (a - warmestRoomC)) / slowestMetalS;
const slowestMetalS = 3600;
/** An engine room gets no warmer than this, C; common practice, no source. */
export const warmestRoomC = 60;

/** Where nothing was learned: cooler than gas under load, C; common practice, no source. */
const idlingBelowC = 200;
/** Part of the learned range of gas that an idling engine stays in. */
const idlingShare = 0.2;

/** Learned idle is this much above any gas that can be believed of a running engine, K; twice the worst noise. */
const gasLostK = 15;

/** Whether the gas is too cool for a running engine, as where its probe has fallen out. */
export const isGasLost = ({ a }: ExhaustMemory, learned: LearnedGas): boolean => a < learned.min - gasLostK;

/** The range of gas that commissioning met, C. */
export type LearnedGas = { readonly min: number; readonly max: number };

/** Gas as an idling engine makes it, and not on its way up. */
export function isIdling(memory: ExhaustMemory, learned: LearnedGas | undefined): boolean {
  const { a, b } = memory;
  if (a - b >= 4) return false;
  if (!learned) return !isCold(memory) && a < idlingBelowC;
  return !isGasLost(memory, learned) && isIdlingLoad(memory, learned);
}

/** Gas no hotter than an idling engine makes it, whether it warms after the start or is settled. */
export const isIdlingLoad = ({ a }: ExhaustMemory, { min, max }: LearnedGas): boolean =>
  a < min + idlingShare * (max - min);

/** Gas beyond any that idling makes, as far as is known: of the two limits of idling the higher. */
export const isAboveIdle = ({ a }: ExhaustMemory, learned: LearnedGas | undefined): boolean =>
  a > Math.max(idlingBelowC, learned ? learned.min + idlingShare * (learned.max - learned.min) : 0);

/** Gas no running engine makes. */
export const isCold = ({ a }: ExhaustMemory): boolean => a < 80;
