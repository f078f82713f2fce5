/** A limit with its hold and its way back; `raiseAt` and `clearAt` are points on the scale. */
export type LatchLimit = { readonly raiseAt: number; readonly clearAt: number; readonly holdS: number };

/** Plain data, so that it survives a restart. */
export type Latch = { readonly on: boolean; readonly heldS: number; readonly belowCount: number };

export const clearedLatch: Latch = { on: false, heldS: 0, belowCount: 0 };

/**
 * Raises when `value` has been at or above `raiseAt` for `holdS`, clears when it is below `clearAt`, and between the
 * two keeps its mind. The hold starts at the first value above; a single lower value, a spike, does not restart it.
 * At least two values are needed, so that even with a hold of zero one spike raises nothing.
 */
export function stepLatch(latch: Latch, value: number, limit: LatchLimit, dtS: number): Latch {
  if (latch.on) {
    if (value >= limit.clearAt) return latch.belowCount === 0 ? latch : { ...latch, belowCount: 0 };
    return latch.belowCount >= 1 ? clearedLatch : { ...latch, belowCount: latch.belowCount + 1 };
  }
  if (value >= limit.raiseAt) {
    const started = latch.heldS > 0;
    const heldS = started ? latch.heldS + dtS : Number.MIN_VALUE;
    return { on: started && heldS >= limit.holdS - 1e-9, heldS, belowCount: 0 };
  }
  if (latch.heldS === 0) return latch;
  return latch.belowCount >= 1
    ? clearedLatch
    : { on: false, heldS: latch.heldS + dtS, belowCount: latch.belowCount + 1 };
}
