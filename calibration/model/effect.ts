/** Where an error acts: at a point of the session (`point` is its index) or, without one, at a reading in use. */
export type Site = { readonly temperatureC: number; readonly point?: number };

/**
 * One thing that can be wrong, as a random function over sites: its covariance in C^2 between any two of them. An error
 * that does not reach a site has covariance zero there.
 */
export type Effect = {
  readonly source: string;
  readonly covarianceC2: (a: Site, b: Site) => number;
};

/** One number that is wrong, and what one standard deviation of it does at each site, in C with its sign. */
export const oneError = (source: string, effectC: (site: Site) => number): Effect => ({
  source,
  covarianceC2: (a, b) => effectC(a) * effectC(b),
});

/**
 * An error that sites share, each with its own uncertainty in C (not negative): the larger one is the smaller one and
 * something more. Were it one number scaled, the difference of a good and a poor pressure would seem to reveal both.
 */
export const sharedError = (source: string, uncertaintyC: (site: Site) => number): Effect => ({
  source,
  covarianceC2: (a, b) => Math.min(uncertaintyC(a), uncertaintyC(b)) ** 2,
});

/** An error of each point by itself: standard uncertainty of point i in C. */
export const eachPoint = (source: string, uncertaintyC: (point: number) => number): Effect => ({
  source,
  covarianceC2: (a, b) => (a.point !== undefined && a.point === b.point ? uncertaintyC(a.point) ** 2 : 0),
});

/** A smooth random function of a place (temperature, share of a scale) with a standard deviation that may vary. */
export const smoothError = (
  source: string,
  deviationC: (site: Site) => number,
  likeness: (a: Site, b: Site) => number,
): Effect => ({
  source,
  covarianceC2: (a, b) => deviationC(a) * deviationC(b) * likeness(a, b),
});

/** Keeps what a function of temperature gave: the effects ask for the same places over and over. */
export const remembered = <T>(action: (temperatureC: number) => T): ((temperatureC: number) => T) => {
  const known = new Map<number, T>();
  return (temperatureC) => {
    const found = known.get(temperatureC) ?? action(temperatureC);
    known.set(temperatureC, found);
    return found;
  };
};
