import type { ExhaustMemory } from './exhaust-memory.js';

/** Kinds of moment in which an elbow behaves differently; each learns its own spread. */
export const bins = ['warm-up', 'falling-fast', 'falling', 'steady', 'rising', 'rising-fast'] as const;
export type Bin = (typeof bins)[number];

/** Time after a start during which the warm-up bin counts, s. */
export const warmUpS = 420;

/** Which kind of moment this is: the gas against its own 110 s memory, at -40, -10, +10 and +40 K. */
export function binOf({ a, c }: ExhaustMemory, sinceStartS: number): Bin {
  if (sinceStartS < warmUpS) return 'warm-up';
  const ahead = a - c;
  if (ahead < -40) return 'falling-fast';
  if (ahead < -10) return 'falling';
  if (ahead <= 10) return 'steady';
  return ahead <= 40 ? 'rising' : 'rising-fast';
}

/** What commissioning learnt of one elbow probe. All rises are kelvin above the sea. */
export type ElbowBaseline = {
  /** Of 1, a, b, c, b^2 / 100 and (a - b)^2 / 100 where a < b; a, b, c in C. */
  readonly coefficients: readonly number[];
  /** Exhaust gas met during commissioning, C. The learned detector does not judge beyond it. */
  readonly gasC: { readonly min: number; readonly max: number };
  /** Highest rise met in normal running. */
  readonly highestRiseK: number;
  /** Exhaust gas against the other engine's in steady running: what is usual, and how far it strays (at least 3 K). */
  readonly twinExhaust?: { readonly middleK: number; readonly spreadK: number };
  /** 99.8th percentile of the led residual and its seconds, in each bin. */
  readonly spread: Readonly<Record<Bin, { readonly q998K: number; readonly seconds: number }>>;
};

/** What the gas regressors are for a memory; the one place that knows their order and scale. */
export function regressors({ a, b, c }: ExhaustMemory): readonly number[] {
  return [1, a, b, c, (b * b) / 100, a < b ? ((a - b) * (a - b)) / 100 : 0];
}

/** Rise over the sea to expect after this exhaust gas, K. The gas is held within what was learnt, never beyond. */
export function expectedRiseK({ coefficients: k, gasC }: ElbowBaseline, memory: ExhaustMemory): number {
  const a = within(memory.a, gasC);
  const b = within(memory.b, gasC);
  const c = within(memory.c, gasC);
  const falling = a < b ? ((a - b) * (a - b)) / 100 : 0;
  return (
    (k[0] ?? 0) +
    (k[1] ?? 0) * a +
    (k[2] ?? 0) * b +
    (k[3] ?? 0) * c +
    ((k[4] ?? 0) * b * b) / 100 +
    (k[5] ?? 0) * falling
  );
}

const within = (value: number, { min, max }: { min: number; max: number }): number =>
  value < min ? min : value > max ? max : value;
