/** Numbers by chance from a seed (xorshift128+ would do as well); the same seed gives the same boats. */
export type Chance = {
  /** 0 to 1. */
  readonly uniform: () => number;
  /** -1 to 1. */
  readonly within: () => number;
  /** Mean 0, standard deviation 1. */
  readonly bell: () => number;
};

export function chance(seed: number): Chance {
  let state = seed >>> 0 || 1;
  // Mulberry32: 32 bits of state, passes the usual small test batteries, and one line to read.
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  let spare: number | undefined;
  const bell = (): number => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, within: () => 2 * uniform() - 1, bell };
}

/** A smooth curve by chance over 0 to 1: mean 0, standard deviation 1, alike within `reach`. */
export function smoothCurve({ bell, uniform }: Chance, reach: number): (x: number) => number {
  const waves = Array.from({ length: 24 }, () => ({ rate: bell() / reach, phase: 2 * Math.PI * uniform() }));
  return (x) =>
    Math.sqrt(2 / waves.length) * waves.reduce((sum, { rate, phase }) => sum + Math.cos(rate * x + phase), 0);
}
