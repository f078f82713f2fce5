import { ThermometryError } from '../errors.js';
import type { Sensor } from '../reading/sensor.js';
import { calibrateThermistor } from './calibrate-thermistor.js';
import { calibrateThermocouple } from './calibrate-thermocouple.js';
import type { Calibration } from './calibration.js';
import { type Certificate, certificateLayout } from './certificate.js';
import { type BudgetLine, combined, coverageFactor95 } from './coverage-factor.js';
import type { InputChain } from './input-chain.js';
import { integrityOf } from './integrity.js';
import type { CalibrationPoint } from './point.js';

/** The model the points can carry, for either kind of probe. Throws when sensor and input do not belong together. */
export function calibrate(
  sensor: Sensor,
  chain: InputChain,
  points: readonly CalibrationPoint[],
): Calibration {
  if (sensor.kind === 'thermistor' && chain.kind === 'divider')
    return calibrateThermistor(sensor.law, chain, points);
  if (sensor.kind !== 'thermistor' && chain.kind === 'amplifier')
    return calibrateThermocouple(sensor, chain, points);
  throw new ThermometryError('not-physical', `A ${sensor.kind} is not read through a ${chain.kind}.`);
}

/** Temperatures whose budgets are printed line by line. */
const namedC = { thermistor: [0, 25, 75, 100], thermocouple: [25, 100, 300, 400, 500] } as const;

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
  const { validC, linesAt, covariance } = calibration;
  const stepC = validC.to - validC.from > 300 ? 25 : 5;
  const grid = [validC.from];
  for (let t = Math.ceil((validC.from + 1) / stepC) * stepC; t < validC.to; t += stepC) grid.push(t);
  grid.push(validC.to);
  const kind = sensor.kind === 'thermistor' ? 'thermistor' : 'thermocouple';
  const budgetsAt = [...new Set([...namedC[kind], ...(input.alsoAtC ?? [])])]
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
    model: calibration.model,
    parameters: calibration.parameterNames.map((name, i) => ({
      name,
      value: calibration.parameters[i] as number,
      standardUncertainty: Math.sqrt(covariance[i]?.[i] ?? 0),
    })),
    covariance: covariance.map((row) => [...row]),
    residualsC: [...calibration.residualsC],
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
