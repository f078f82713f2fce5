/** Digits that agree with a certified value, as NIST counts them. */
export const digits = (mine: number | null | undefined, certified: number | undefined): number =>
  -Math.log10(Math.max(Math.abs((mine as number) / (certified as number) - 1), 1e-16));
