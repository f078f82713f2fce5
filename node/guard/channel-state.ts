import type { MissingReason } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import type { StuckState } from './stuck-detector.js';

/** The state of one channel: what can be believed of it now. Plain data, bounded; every field is always there, for speed. */
export type ChannelState = {
  /** Readings of the last 2.5 s, five at most, oldest first: their times and temperatures. */
  readonly windowAtMs: readonly number[];
  readonly windowC: readonly number[];
  /** Last good reading as it came, for the hard limits. */
  readonly lastGoodC: number | undefined;
  readonly lastGoodAtMs: MonotonicMs | undefined;
  /** When anything at all last came. */
  readonly heardAtMs: MonotonicMs | undefined;
  /** Since when every reading was missing, and the last reason. */
  readonly missingSinceMs: MonotonicMs | undefined;
  readonly missingReason: MissingReason | undefined;
  /** When the window was last too wild to believe, as in a burst of a loose connection. */
  readonly wildAtMs: MonotonicMs | undefined;
  /** Since when readings stood far from the filter, held back as a jump. */
  readonly jumpSinceMs: MonotonicMs | undefined;
  /** The level it jumped to, followed with 4.5 s, and where that began, C; undefined while there is no jump. */
  readonly jumpedC: number | undefined;
  readonly jumpedFromC: number | undefined;
  /** When its filters began, for lack of anything before; absent in states of earlier versions. */
  readonly begunAtMs?: MonotonicMs | undefined;
  /** Filters over the believed value, tau 1 s and 4.5 s; undefined before the first. */
  readonly fastC: number | undefined;
  readonly slowC: number | undefined;
  /** Level and rate when contact was last sure, C and K/s: what a burst leaves in the filters is chance. */
  readonly calmC: number | undefined;
  readonly calmCPerS: number;
  /** How often contact has broken lately: one for each burst, forgotten with a time constant of a minute. */
  readonly bursts: number;
  readonly burstAtMs: MonotonicMs | undefined;
  /** How long its reading has not changed; undefined before the first good reading and while there is none. */
  readonly unchanged: StuckState | undefined;
};

export const silentChannel: ChannelState = {
  windowAtMs: [],
  windowC: [],
  lastGoodC: undefined,
  lastGoodAtMs: undefined,
  heardAtMs: undefined,
  missingSinceMs: undefined,
  missingReason: undefined,
  wildAtMs: undefined,
  jumpSinceMs: undefined,
  jumpedC: undefined,
  jumpedFromC: undefined,
  begunAtMs: undefined,
  fastC: undefined,
  slowC: undefined,
  calmC: undefined,
  calmCPerS: 0,
  bursts: 0,
  burstAtMs: undefined,
  unchanged: undefined,
};

/** Time constants of its two filters, s. */
export const fastTauS = 1;
export const slowTauS = 4.5;

/** Rate of change in K/s from the two filters; 0 before they are filled. */
export const slopeCPerS = ({ fastC, slowC }: ChannelState): number => slopeOf(fastC, slowC);

/** As `slopeCPerS`, from the two filters themselves. */
export const slopeOf = (fastC: number | undefined, slowC: number | undefined): number =>
  fastC === undefined || slowC === undefined ? 0 : (fastC - slowC) / (slowTauS - fastTauS);
