/** A repeatable source of chance: the same seed gives the same boat, voyage and noise, on any machine. */
export type Random = {
  /** Uniform in [0, 1). */
  readonly next: () => number;
  readonly between: (low: number, high: number) => number;
  /** Standard normal. */
  readonly normal: () => number;
  readonly chance: (probability: number) => boolean;
};

/** sfc32 (C. Doty-Humphrey's small fast counter generator), warmed up from one 32-bit seed. */
export function makeRandom(seed: number): Random {
  let a = 0x9e3779b9;
  let b = seed | 0;
  let c = 0x243f6a88;
  let counter = 1;
  const next = () => {
    const t = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + t) | 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 12; i++) next();
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (probability) => next() < probability,
  };
}
