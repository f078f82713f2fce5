import type { Lag } from '../bath/point.js';
import type { Sample } from './settling.js';

/** Only the last degrees of an approach are one exponential; further out the cable and the casing still play a part. */
const lastC = 3;
/** What is known of time constants beforehand, natural logarithm of seconds: 15 s, within a factor of 2.5 either way. */
const usual = { middle: Math.log(15), deviation: Math.log(2.5) } as const;
const candidatesS = Array.from({ length: 32 }, (_, i) => 2 * 1.2 ** i);
/** A probe is no single time constant: this share of what is left is doubted. */
const doubt = 0.25;

/**
 * How far a probe still is from its bath over the stretch that was averaged, from the curve of its approach: an
 * exponential of unknown height, time constant and end, each time constant weighted by how well it fits. `from` is the
 * first sample of the stretch; samples before it are its approach. With a flat stretch and no approach it answers what
 * usual probes could still hide behind the noise.
 */
export function lagFrom(samples: readonly Sample[], fromS: number, meanC: number, scatterC: number): Lag {
  const first = samples.findLastIndex((s) => Math.abs(s.temperatureC - meanC) > lastC) + 1;
  const used = samples.slice(first);
  const n = used.length;
  const meanAll = used.reduce((sum, s) => sum + s.temperatureC, 0) / n;
  const fits = candidatesS.map((tauS) => {
    // Least squares of a height and an end; `e` is centred, so that the end drops out.
    const e = used.map((s) => Math.exp((Math.max(fromS, (used[0] as Sample).atS) - s.atS) / tauS));
    const meanE = e.reduce((a, b) => a + b, 0) / n;
    let see = 0;
    let sey = 0;
    let syy = 0;
    used.forEach((s, i) => {
      const de = (e[i] as number) - meanE;
      const dy = s.temperatureC - meanAll;
      see += de * de;
      sey += de * dy;
      syy += dy * dy;
    });
    const inStretch = e.filter((_, i) => (used[i] as Sample).atS >= fromS);
    const left = inStretch.reduce((a, b) => a + b, 0) / Math.max(1, inStretch.length);
    const prior = ((Math.log(tauS) - usual.middle) / usual.deviation) ** 2;
    return { tauS, left, see, sey, rest: Math.max(0, syy - (sey * sey) / Math.max(see, 1e-12)), prior };
  });
  const least = Math.min(...fits.map((f) => f.rest));
  const variance = Math.max(least / Math.max(1, n - 3), scatterC ** 2, 0.002 ** 2);
  // The height cannot be more than what was seen of it, which keeps slow candidates finite and a flat stretch flat.
  const furthestC = Math.max(...used.map((s) => Math.abs(s.temperatureC - meanC)));
  const perHeight = variance / Math.max(furthestC, 1e-3) ** 2;
  const weighed = fits.map((f) => {
    const height = f.sey / (f.see + perHeight);
    const heightVariance = variance / (f.see + perHeight);
    return {
      tauS: f.tauS,
      remainingC: height * f.left,
      varianceC2: heightVariance * f.left ** 2,
      // Marginal likelihood: a slow candidate that explains everything pays for its freedom.
      log: -0.5 * (f.rest / variance + f.prior) - 0.5 * Math.log(f.see + perHeight),
    };
  });
  const most = Math.max(...weighed.map((w) => w.log));
  const weights = weighed.map((w) => Math.exp(w.log - most));
  const total = weights.reduce((a, b) => a + b, 0);
  const mean = (of: (w: (typeof weighed)[number]) => number): number =>
    weighed.reduce((sum, w, i) => sum + (weights[i] as number) * of(w), 0) / total;
  const remainingC = mean((w) => w.remainingC);
  const spread = mean((w) => w.varianceC2 + (w.remainingC - remainingC) ** 2);
  return {
    remainingC,
    standardUncertaintyC: Math.hypot(Math.sqrt(spread), doubt * remainingC),
    timeConstantS: Math.exp(mean((w) => Math.log(w.tauS))),
  };
}
