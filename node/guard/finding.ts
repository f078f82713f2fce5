/** The rules that can see cooling being lost, and their names in alerts. */
export const coolingRules = [
  'high-limit',
  'fast-rise',
  'rise-over-sea',
  'limit-soon',
  'above-learned',
  'above-learned-steady',
  'above-learned-ceiling',
  'warms-at-level-gas',
] as const;
export type CoolingRule = (typeof coolingRules)[number];

/** What one detector says of one elbow at one pass. */
export type Finding = {
  readonly rule: CoolingRule;
  readonly priority: 'warning' | 'alarm';
  readonly values: Readonly<Record<string, number>>;
  readonly thresholds: Readonly<Record<string, number>>;
};

/** What every detector of an elbow gives at one pass: what it will remember, and what it found. */
export type Judged<State> = { readonly state: State; readonly finding: Finding | undefined };
