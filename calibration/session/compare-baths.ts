import type { Bath, CalibrationPoint } from '../bath/point.js';
import { calibrate } from '../model/calibrate.js';
import type { Session } from './session.js';

/** What the probes of a session say about a bath together, or about one of them. */
export type BathFinding = {
  readonly bath: Bath['kind'];
  readonly awayC: number;
  readonly words: string;
} & ({ readonly finding: 'bad-bath' } | { readonly finding: 'bad-probe'; readonly probe: string });

/** Beyond this many standard deviations it is no chance: one in 2,000 with a few probes in a few baths. */
const surely = 3.5;

/**
 * Compares the probes that were in one bath, each with what its maker's law and its other baths say of it. One that
 * differs from the rest is a bad probe (or was not in the water); when all differ alike it is the bath, or the pressure.
 */
export function compareBaths(session: Session): readonly BathFinding[] {
  const seen = new Map<string, Seen[]>();
  for (const [probe, points] of Object.entries(session.points)) {
    const input = session.probes[probe];
    if (!input || points.length === 0) continue;
    const { leftOut } = calibrate(input.sensor, input.chain, points);
    points.forEach((point, i) => {
      const { differenceC, standardUncertaintyC } = leftOut[i] as (typeof leftOut)[number];
      const sharedC = Math.hypot(...point.errors.map((e) => e.standardUncertaintyC));
      const ownC = Math.sqrt(Math.max(1e-4, standardUncertaintyC ** 2 - sharedC ** 2));
      const key = point.errors[0]?.key ?? point.kind;
      seen.set(key, [...(seen.get(key) ?? []), { probe, point, differenceC, sharedC, ownC }]);
    });
  }
  return [...seen.values()].flatMap(findings);
}

type Seen = {
  readonly probe: string;
  readonly point: CalibrationPoint;
  readonly differenceC: number;
  readonly sharedC: number;
  readonly ownC: number;
};

function findings(inBath: readonly Seen[]): readonly BathFinding[] {
  const [first] = inBath;
  if (!first || inBath.length < 2) return [];
  const bath = first.point.kind;
  const bad = inBath.flatMap((one): BathFinding[] => {
    const { meanC, ownC } = together(inBath.filter((other) => other !== one));
    const awayC = one.differenceC - meanC;
    // Two probes that disagree do not say which of them is wrong.
    if (inBath.length < 3 || Math.abs(awayC) < surely * Math.hypot(one.ownC, ownC)) return [];
    const words = `${one.probe} reads ${signed(awayC)} C from the other ${inBath.length - 1} probes in the ${bath} bath: look whether it hung in the water, at its resistor and at its law in the kit.`;
    return [{ finding: 'bad-probe', bath, probe: one.probe, awayC, words }];
  });
  const good = inBath.filter((one) => !bad.some((b) => 'probe' in b && b.probe === one.probe));
  const { meanC, ownC } = together(good);
  if (good.length < 2 || Math.abs(meanC) < surely * Math.hypot(ownC, first.sharedC)) return bad;
  const words = `All ${good.length} probes read ${signed(meanC)} C in the ${bath} bath, alike: it is not the probes. ${advice[bath]}`;
  return [...bad, { finding: 'bad-bath', bath, awayC: meanC, words }];
}

const advice: Readonly<Record<Bath['kind'], string>> = {
  ice: 'More and finer ice, stir, and take this bath again.',
  boiling: 'Check the pressure and the altitude, let it boil hard, and take this bath again.',
  reference: 'Check what the thermometer reads and its certificate, stir, and take this bath again.',
};

/** Weighted mean, and the standard deviation that the probes' own errors give it. */
function together(some: readonly Seen[]): { readonly meanC: number; readonly ownC: number } {
  const weight = some.reduce((sum, s) => sum + 1 / s.ownC ** 2, 0);
  return {
    meanC: some.reduce((sum, s) => sum + s.differenceC / s.ownC ** 2, 0) / weight,
    ownC: 1 / Math.sqrt(weight),
  };
}

const signed = (c: number): string => `${c < 0 ? '' : '+'}${c.toFixed(2)}`;
