/** A temperature at a time, seconds. */
export type Sample = { readonly atS: number; readonly temperatureC: number };

export type SettlingRules = {
  /** Shortest stretch of readings that can count as settled, seconds. */
  readonly holdS: number;
  /** Largest trend, C per minute, that may be hiding in the noise of a settled stretch. */
  readonly trendCPerMin: number;
};

/** A 20 s probe still 0.05 C from its bath moves by 0.15 C per minute, so this much trend means that little left to go. */
export const usualRules: SettlingRules = { holdS: 45, trendCPerMin: 0.15 };

export type Stretch = {
  readonly settled: boolean;
  readonly trendCPerMin: number;
  /** Standard uncertainty of the trend, from the scatter about it. */
  readonly trendUncertaintyCPerMin: number;
  readonly meanC: number;
  readonly scatterC: number;
  /** Positions in the samples that belong to the stretch and are no outliers. */
  readonly used: readonly number[];
  readonly outliers: number;
  readonly heldS: number;
  /** 0 to 1: how close to settled, for a progress bar. */
  readonly progress: number;
};

/** One-sided 95 % of the bell. */
const surely = 1.645;
/** Share of outliers beyond which readings are not worth averaging. */
const mostOutliers = 0.1;

/**
 * Looks back over the last one, two, four and eight holds for a stretch that is settled: long enough, few outliers, and
 * a slope that even with its own uncertainty added stays within the rules. A noisier probe needs the longer look.
 */
export function assess(samples: readonly Sample[], rules: SettlingRules): Stretch {
  const lastS = samples.at(-1)?.atS ?? 0;
  let best: Stretch | undefined;
  for (const holds of [1, 2, 4, 8]) {
    const fromS = lastS - rules.holdS * holds;
    // The stretch must be covered by readings, not only be long ago.
    const covered = samples.length > 1 && (samples[0] as Sample).atS <= fromS + 1.5;
    const stretch = describe(samples, fromS, covered, rules);
    if (stretch.settled) return stretch;
    if (!best || stretch.progress > best.progress) best = stretch;
    if (!covered) break;
  }
  return best as Stretch;
}

function describe(
  samples: readonly Sample[],
  fromS: number,
  covered: boolean,
  rules: SettlingRules,
): Stretch {
  // Samples are in the order of their times.
  const first = samples.findIndex((s) => s.atS >= fromS);
  const inside = first < 0 ? [] : Array.from({ length: samples.length - first }, (_, i) => first + i);
  const used = withoutOutliers(samples, inside);
  const outliers = inside.length - used.length;
  const n = used.length;
  const at = (i: number): Sample => samples[i] as Sample;
  const meanS = used.reduce((sum, i) => sum + at(i).atS, 0) / n;
  const meanC = used.reduce((sum, i) => sum + at(i).temperatureC, 0) / n;
  const spread = used.reduce((sum, i) => sum + (at(i).atS - meanS) ** 2, 0);
  const slope =
    spread > 0
      ? used.reduce((sum, i) => sum + (at(i).atS - meanS) * (at(i).temperatureC - meanC), 0) / spread
      : 0;
  const rest = used.reduce(
    (sum, i) => sum + (at(i).temperatureC - meanC - slope * (at(i).atS - meanS)) ** 2,
    0,
  );
  const scatterC = n > 2 ? Math.sqrt(rest / (n - 2)) : 0;
  const slopeUncertainty = n > 2 && spread > 0 ? scatterC / Math.sqrt(spread) : Number.POSITIVE_INFINITY;
  const worst = 60 * (Math.abs(slope) + surely * slopeUncertainty);
  const heldS = n > 1 ? at(used[n - 1] as number).atS - at(used[0] as number).atS : 0;
  const clean = outliers <= mostOutliers * inside.length;
  const dense = n >= Math.max(5, 0.6 * Math.min(heldS, rules.holdS));
  return {
    settled: covered && clean && dense && worst <= rules.trendCPerMin,
    trendCPerMin: 60 * slope,
    trendUncertaintyCPerMin: Number.isFinite(slopeUncertainty) ? 60 * slopeUncertainty : 0,
    meanC,
    scatterC,
    used,
    outliers,
    heldS,
    progress: Math.min(
      covered ? 1 : 0.95,
      heldS / rules.holdS,
      Number.isFinite(worst) ? Math.max(0.05, rules.trendCPerMin / Math.max(worst, 1e-9)) : 0,
    ),
  };
}

/** Readings further than six robust standard deviations from the line through them (at least 0.1 C) are set aside. */
function withoutOutliers(samples: readonly Sample[], inside: readonly number[]): readonly number[] {
  if (inside.length < 5) return inside;
  // A trend is no outlier: the median of neighbours is the yardstick, not the median of all.
  const temperaturesC = Float64Array.from(inside, (i) => (samples[i] as Sample).temperatureC);
  const near = new Float64Array(7);
  const off = temperaturesC.map((temperatureC, place) => {
    const from = Math.max(0, place - 3);
    const count = Math.min(temperaturesC.length, place + 4) - from;
    // Sorted as they are copied: this is most of the work, and `sort` takes several times as long for seven values.
    for (let i = 0; i < count; i++) {
      const value = temperaturesC[from + i] as number;
      let to = i;
      for (; to > 0 && (near[to - 1] as number) > value; to--) near[to] = near[to - 1] as number;
      near[to] = value;
    }
    return Math.abs(temperatureC - middleOf(near, count));
  });
  const limit = Math.max(0.1, 6 * 1.4826 * middleOf(off.toSorted(), off.length));
  return inside.filter((_, place) => (off[place] as number) <= limit);
}

/** The median of so many sorted values. */
function middleOf(sorted: Float64Array, count: number): number {
  const middle = Math.floor(count / 2);
  return count % 2 === 1
    ? (sorted[middle] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2;
}
