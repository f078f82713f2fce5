import type { CalibrationPoint } from '../bath/point.js';
import { type BudgetLine, combined, coverageFactor95 } from '../budget/coverage-factor.js';
import { ThermometryError } from '../errors.js';
import { calibrate } from '../model/calibrate.js';
import { correctionAt } from '../model/correction.js';
import type { InputChain } from '../model/input-chain.js';
import type { Sensor } from '../reading/sensor.js';
import { type Certificate, certificateLayout } from './certificate.js';
import { integrityOf } from './integrity.js';

/** Temperatures whose budgets are printed line by line. */
const namedC = { divider: [0, 25, 75, 100], amplifier: [25, 100, 300, 400, 500] } as const;

/** Points less likely than this by what such a probe and such baths allow are no calibration, and less than the second a doubt. */
const impossible = 1e-5;
const doubtful = 0.01;

/**
 * Draws up the certificate of a probe from its settled points. `alsoAtC` adds budgets where the owner's setpoints lie.
 * `issue` and `issuedAt` (ISO 8601) come from the caller. Throws when the points carry nothing.
 */
export function issueCertificate(input: {
  readonly probe: { readonly id: string; readonly name: string };
  readonly issue: number;
  readonly issuedAt: string;
  readonly sensor: Sensor;
  readonly chain: InputChain;
  readonly points: readonly CalibrationPoint[];
  readonly alsoAtC?: readonly number[];
}): Certificate {
  const { probe, issue, issuedAt, sensor, chain, points } = input;
  const calibration = calibrate(sensor, chain, points);
  const { validC, linesAt, model, plausibility, residualsC, covarianceC2 } = calibration;
  const furthest = residualsC
    .map((r, i) => `${points[i]?.kind} ${r < 0 ? '' : '+'}${r.toFixed(2)} C`)
    .join(', ');
  if (plausibility < impossible)
    throw new ThermometryError(
      'not-physical',
      `These points cannot come from this probe (left over: ${furthest}). Check its law or type in the kit, its resistor, the pressure, and that every bath was what it was said to be.`,
    );
  const grid = model.correctionsC.map((_, i) => model.fromC + i * model.stepC);
  const budgetsAt = [...new Set([...namedC[chain.kind], ...(input.alsoAtC ?? [])])]
    .filter((t) => t >= validC.from && t <= validC.to)
    .sort((a, b) => a - b);
  const document = {
    certificate: certificateLayout,
    probe,
    issue,
    issuedAt,
    sensor,
    chain,
    points: [...points],
    model,
    parameters: budgetsAt.map((t) => ({
      name: `correction at ${t} C`,
      value: correctionAt(model, t),
      standardUncertainty: Math.sqrt(covarianceC2(t, t)),
    })),
    covariance: budgetsAt.map((a) => budgetsAt.map((b) => covarianceC2(a, b))),
    residualsC: [...residualsC],
    validC,
    uncertainty: grid.map((temperatureC) => {
      const lines = linesAt(temperatureC);
      const standardUncertaintyC = combined(lines);
      const coverageFactor = coverageFactor95(lines);
      return {
        temperatureC,
        standardUncertaintyC,
        coverageFactor,
        expandedUncertaintyC: coverageFactor * standardUncertaintyC,
      };
    }),
    ...(plausibility < doubtful && {
      doubts: [
        `Such points are seen once in ${Math.round(1 / plausibility)} calibrations (left over: ${furthest}): repeat a bath.`,
      ],
    }),
    budgets: budgetsAt.map((temperatureC) => ({ temperatureC, lines: bySource(linesAt(temperatureC)) })),
  };
  // Through JSON, so that what is hashed is what a reader of the file will see.
  const plain = JSON.parse(JSON.stringify(document)) as Omit<Certificate, 'integrity'>;
  return { ...plain, integrity: integrityOf(plain) };
}

/** Lines of one source are one line for the reader. */
function bySource(lines: readonly BudgetLine[]): BudgetLine[] {
  const sources = [...new Set(lines.map((line) => line.source))];
  return sources
    .map((source) => {
      const same = lines.filter((line) => line.source === source);
      return {
        source,
        distribution: same[0]?.distribution ?? 'normal',
        standardUncertaintyC: combined(same),
      } as const;
    })
    .sort((a, b) => b.standardUncertaintyC - a.standardUncertaintyC);
}
