import { z } from 'zod';

/** How an error spreads: bell-shaped, or anywhere within limits with equal chance (limits = sqrt(3) standard ones). */
export const distributionSchema = z.enum(['normal', 'rectangular']);

/** One line of a budget at one temperature. */
export const budgetLineSchema = z.strictObject({
  source: z.string(),
  distribution: distributionSchema,
  standardUncertaintyC: z.number().min(0),
});
export type BudgetLine = Readonly<z.infer<typeof budgetLineSchema>>;

/** The bell's factor for 95 %. */
export const bell95 = 1.96;

/** Root of the sum of squares: the lines are independent by construction. */
export const combined = (lines: readonly BudgetLine[]): number =>
  Math.hypot(...lines.map((line) => line.standardUncertaintyC));

/**
 * The factor that makes the interval hold the truth 95 times in 100, for the sum of these very distributions.
 * JCGM 100 takes 2 for all; one rectangular error that outweighs the rest needs 1.65, and two taken as bells overstate.
 * Computed from the product of the characteristic functions, P(|x| < q) = 2/pi integral of phi(t) sin(qt)/t.
 */
export function coverageFactor95(lines: readonly BudgetLine[]): number {
  const total = combined(lines);
  if (!(total > 0)) return 1.96;
  const normal = Math.hypot(
    ...lines.filter((l) => l.distribution === 'normal').map((l) => l.standardUncertaintyC / total),
  );
  const halfWidths = lines
    .filter((l) => l.distribution === 'rectangular' && l.standardUncertaintyC > 1e-3 * total)
    .map((l) => (l.standardUncertaintyC / total) * Math.sqrt(3));
  if (halfWidths.length === 0) return 1.96;
  // A trace of bell keeps the integral short and moves the answer by less than 0.002.
  const smooth = Math.max(normal, 0.08);
  // The sampled integral repeats every 2 pi / step; beyond 15 standard deviations nothing is left to alias.
  const step = 0.4;
  const characteristic: number[] = [];
  for (let t = step; t < 6 / smooth; t += step) {
    let phi = Math.exp(-0.5 * (smooth * t) ** 2);
    for (const a of halfWidths) phi *= Math.sin(a * t) / (a * t);
    characteristic.push(phi / t);
  }
  const coverage = (q: number): number => {
    let sum = q / 2;
    for (let i = 0; i < characteristic.length; i++)
      sum += (characteristic[i] as number) * Math.sin(q * step * (i + 1));
    return (2 / Math.PI) * step * sum;
  };
  // Secant steps: coverage is nearly straight here. Exact enough that a smaller uncertainty never gets a larger interval.
  let before = 1.6;
  let q = 2;
  let missedBefore = coverage(before) - 0.95;
  for (let i = 0; i < 12; i++) {
    const missed = coverage(q) - 0.95;
    const step = (missed * (q - before)) / (missed - missedBefore);
    if (!(Math.abs(step) > 1e-9)) break;
    before = q;
    missedBefore = missed;
    q = Math.min(2.4, Math.max(1.4, q - step));
  }
  return q;
}
