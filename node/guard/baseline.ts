import type { ColdIdle } from './cold-idle.js';
import { type ExhaustMemory, isThrottledBack } from './exhaust-memory.js';
import type { TwoTrips } from './two-trips.js';

/** Kinds of moment in which an elbow behaves differently; each learns its own spread. */
export const bins = ['warm-up', 'falling-fast', 'falling', 'steady', 'rising', 'rising-fast'] as const;
export type Bin = (typeof bins)[number];

/** Memory of the mean residual, and how long it must have been steady before that mean is judged, s. */
export const meanTauS = 30;
export const settledS = 60;

/** An engine that has warmed through for less than this is in the warm-up bin, s. */
export const warmUpS = 420;

/** Within so long of the start a thermostat may open for the first time, s. */
export const coldWithinS = 1200;
/** A thermostat that opens then overshoots by 6 to 8 K for a minute, simulated: so much more than 2 to 4 K is allowed, K. */
export const openingMoreK = 4;

/** Which kind of moment this is: the gas against its own 110 s memory, at -40, -10, +10 and +40 K. */
export function binOf({ a, c }: ExhaustMemory, warmS: number): Bin {
  if (warmS < warmUpS) return 'warm-up';
  const ahead = a - c;
  if (ahead < -40) return 'falling-fast';
  if (ahead < -10) return 'falling';
  if (ahead <= 10) return 'steady';
  return ahead <= 40 ? 'rising' : 'rising-fast';
}

export type TwinApart = { readonly steadyK: number; readonly movingK: number };

/**
 * Under gas that has been level for a minute an elbow stays where it is, wherever that is: what the model, the sea and the season leave in
 * the residual changes slowly. So a residual that leaves its own half-minute mean is believed sooner than one that leaves what was
 * learned. 99.8th percentile of that difference in normal running, K.
 */
export type LevelChange = {
  /** In the steady bin, once thermostats have surely opened. */
  readonly steadyK: number;
  /** Where only the slow memory of the gas has yet to follow. */
  readonly settlingK: number;
};

/** What commissioning learned of one elbow probe. All rises are kelvin above the sea. */
export type ElbowBaseline = {
  /**
   * Of 1, a, b, c, b^2 / 100 and (a - b)^2 / 100 where a < b; a, b, c in C. Then, in newer files, of the sea less its
   * middle, s, and of s b / 100.
   */
  readonly coefficients: readonly number[];
  /** The sea met during commissioning, C; absent in older files, which know nothing of it. */
  readonly seaC?: { readonly min: number; readonly max: number; readonly middle: number };
  /** Exhaust gas met during commissioning, C. The learned detector does not judge beyond it. */
  readonly gasC: { readonly min: number; readonly max: number };
  /** Highest rise of normal running, little more than what two trips reached; and the same as led by its slope, absent in older files. */
  readonly highestRiseK: number;
  readonly highestLedRiseK?: number;
  /** Fastest rise of normal running but for one second in a thousand and closed throttles, K/s; absent in older files. */
  readonly fastestCPerS?: number;
  /** What at least two trips reached; absent where fewer than four were met, and in older files. */
  readonly ofTwoTrips?: TwoTrips;
  /** Highest half-minute mean of the led residual in steady running; absent in older files. */
  readonly steadyMeanK?: number;
  /**
   * 99.8th percentile of the led residual while the gas falls and no surge after a closed throttle holds the elbow up any more;
   * absent where commissioning met less than two minutes of that, and in older files.
   */
  readonly afterSurgeK?: number;
  /** Absent where commissioning met too little of it, and in older files. */
  readonly coldIdle?: ColdIdle;
  /**
   * Rise over the sea that the first 35 s of two cold starts reached, K: on boats whose line drains the pump takes that long to give water.
   * Absent where fewer than four cold starts were met, and in older files.
   */
  readonly coldStartRiseK?: number;
  /** As `coldIdle`. */
  readonly levelChange?: LevelChange;
  /**
   * 99.8th percentile of the led residual above the other elbow's, while both engines are driven alike: in steady running, and in any other
   * moment. Absent without a twin that was learned too, and in older files.
   */
  readonly twinApart?: TwinApart;
  /** Exhaust gas against the other engine's in steady running: what is usual, and how far it strays (at least 3 K). */
  readonly twinExhaust?: { readonly middleK: number; readonly spreadK: number };
  /** 99.8th percentile of the led residual and its seconds, in each bin. */
  readonly spread: Readonly<Record<Bin, { readonly q998K: number; readonly seconds: number }>>;
};

/** The rise as its slope leads it by `leadS`, K; a slope that the coolant makes after a throttle was closed leads nowhere. */
export const ledRiseK = (riseK: number, slopeCPerS: number, leadS: number, gas: ExhaustMemory): number =>
  isThrottledBack(gas) ? riseK : riseK + leadS * slopeCPerS;

/** What the regressors are for a moment; the one place that knows their order and scale. */
export function regressors({ a, b, c }: ExhaustMemory, seaApartK: number): readonly number[] {
  const falling = a < b ? ((a - b) * (a - b)) / 100 : 0;
  return [1, a, b, c, (b * b) / 100, falling, seaApartK, (seaApartK * b) / 100];
}

/**
 * Rise over the sea to expect after this exhaust gas in this sea, K. Gas and sea are held within what was learned, never
 * beyond.
 */
export function expectedRiseK(
  { coefficients: k, gasC, seaC: learned }: ElbowBaseline,
  memory: ExhaustMemory,
  seaC?: number,
): number {
  const a = within(memory.a, gasC);
  const b = within(memory.b, gasC);
  const c = within(memory.c, gasC);
  const falling = a < b ? ((a - b) * (a - b)) / 100 : 0;
  const apartK = learned && seaC !== undefined ? within(seaC, learned) - learned.middle : 0;
  return (
    (k[0] ?? 0) +
    (k[1] ?? 0) * a +
    (k[2] ?? 0) * b +
    (k[3] ?? 0) * c +
    ((k[4] ?? 0) * b * b) / 100 +
    (k[5] ?? 0) * falling +
    ((k[6] ?? 0) + ((k[7] ?? 0) * b) / 100) * apartK
  );
}

/** How far this sea is from any that was learned, K; 0 where nothing was learned of it. */
export const unknownSeaK = ({ seaC: learned }: ElbowBaseline, seaC: number): number =>
  learned ? Math.max(0, learned.min - seaC, seaC - learned.max) : 0;

const within = (value: number, { min, max }: { min: number; max: number }): number =>
  value < min ? min : value > max ? max : value;
