/** The numbers of the learned detector. K is kelvin above what was learned. */
export type LearnedTuning = {
  /** How far ahead the slope leads the residual, s. */
  readonly leadS: Readonly<Record<'strap-on' | 'well' | 'free', number>>;
  readonly leastK: number;
  /** The same for a residual that leaves its own mean under level gas. */
  readonly leastChangeK: number;
  readonly spreadFactor: number;
  readonly spreadMoreK: number;
  readonly graceS: number;
  /** Allowance after a start, on top of what was soaked up, and the most of that; it fades with 40 s. */
  readonly afterStartK: number;
  readonly mostSoakK: number;
  /** Sum of what is above the threshold that raises, the one that does while the residual does not recover, and the most that a moment adds. */
  readonly cusum: Readonly<
    Record<
      'strap-on' | 'well' | 'free',
      { readonly limitKS: number; readonly growingKS: number; readonly capK: number }
    >
  >;
  readonly steadyTwinK: number;
  readonly steadySingleK: number;
  readonly alarmK: number;
  readonly alarmCPerS: number;
  /** Part of the other engine's residual that is taken for weather, and its bound in K. */
  readonly twinShare: number;
  readonly twinClipK: number;
  /** The most of its residual of now that is taken so while both are driven alike, K. */
  readonly twinNowClipK: number;
};

export type LearnedState = {
  readonly cusumKS: number;
  /** 30 s memory of the residual, K, and how long the moment has been steady, s. */
  readonly meanK: number;
  readonly steadyS: number;
  readonly overS: number;
  readonly alarmS: number;
  readonly ceilingS: number;
  /** Residual at the moment of arming: after a hot restart the elbow still gives off what it soaked up, K. */
  readonly soakK: number;
  /** Led residual of this pass, for the other engine and for evidence. */
  readonly residualK: number;
  /** How much longer the engine counts as one whose thermostat has yet to open, s; absent in states of earlier versions. */
  readonly coldS?: number;
  /** The highest residual of late, K; absent as above. */
  readonly peakK?: number;
  /** Whether the throttle-back surge has passed; absent as above. */
  readonly surgeOver?: boolean;
  /** How long the gas has been level, s, and the sum of how far the residual has left its mean since; absent as above. */
  readonly levelS?: number;
  readonly changeKS?: number;
};
export const learnedAtRest: LearnedState = {
  cusumKS: 0,
  meanK: 0,
  steadyS: 0,
  overS: 0,
  alarmS: 0,
  ceilingS: 0,
  soakK: 0,
  residualK: 0,
  coldS: 0,
  peakK: 0,
  surgeOver: false,
  levelS: 0,
  changeKS: 0,
};
