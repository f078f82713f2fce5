/** Exact answer of a first-order lag over one step, so that no step is too long for it. */
export const relax = (nowC: number, endC: number, dtS: number, tauS: number): number =>
  endC + (nowC - endC) * Math.exp(-dtS / tauS);

/** Next value of a wandering quantity with mean 0 and deviation 1 (Ornstein-Uhlenbeck process, from memory). */
export const wander = (now: number, dtS: number, tauS: number, normal: number): number => {
  const keep = Math.exp(-dtS / tauS);
  return now * keep + Math.sqrt(1 - keep * keep) * normal;
};

export const clamp = (value: number, low: number, high: number): number =>
  Math.max(low, Math.min(high, value));
