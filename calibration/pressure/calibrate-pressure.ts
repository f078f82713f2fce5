import { z } from 'zod';
import {
  type BudgetLine,
  combined,
  coverageFactor95,
  distributionSchema,
} from '../budget/coverage-factor.js';
import { ThermometryError } from '../errors.js';
import { fitLinear } from '../fit/linear-fit.js';
import { hoseKpa } from './water-column.js';

/** The probe with a hose of fresh water held so that its surface is `heightM` above the port. */
const hosePointSchema = z.strictObject({
  heightM: z.number(),
  /** Mean of the readings, volts as of a supply of 5 V, and the standard deviation of single ones. */
  volts: z.number(),
  scatterVolts: z.number().min(0),
  readings: z.number().int().min(1),
});
export type HosePoint = Readonly<z.infer<typeof hosePointSchema>>;

export const hoseSessionSchema = z.strictObject({
  /** At 4.5 V of 5 V, kPa. */
  fullScaleKpa: z.number().positive(),
  waterC: z.number(),
  latitudeDeg: z.number(),
  points: z.array(hosePointSchema).min(3),
});
export type HoseSession = Readonly<z.infer<typeof hoseSessionSchema>>;

export const pressureLineSchema = z.strictObject({
  source: z.string(),
  distribution: distributionSchema,
  standardUncertaintyKpa: z.number().min(0),
});
export type PressureLine = Readonly<z.infer<typeof pressureLineSchema>>;

export type PressureCalibration = {
  /** Pressure is `offsetKpa + kpaPerVolt x volts`. */
  readonly offsetKpa: number;
  readonly kpaPerVolt: number;
  readonly residualsKpa: readonly number[];
  readonly linesAt: (kpa: number) => readonly PressureLine[];
};

/** Limits, each taken as rectangular; common practice for a hose, a rule and one pair of hands, no source unless named. */
const limits = {
  /** Reading the surface against the rule, with its meniscus, m. */
  heightM: 0.005,
  /** A folding rule of class III (Directive 2014/32/EU, annex X: 0.6 mm + 0.4 mm a metre), and a hose held askew by 4 degrees. */
  scale: 0.0035,
  /** Water temperature, C. */
  waterC: 5,
  /** Nonlinearity of the transducer's line, part of full scale (usual datasheets: 0.5 % against the best straight line). */
  nonlinearity: 0.005,
  /** Its span between a berth and a hot engine room, part of the reading. Its zero is taken at every stop. */
  hotSpan: 0.01,
  /** Integral non-linearity of the board's converter, counts of 1024 (ATmega328P datasheet, typical 0.5). */
  converterCounts: 1,
} as const;

const fewestPoints = 3;
/** A hose shorter than this determines the slope badly, m. */
const leastSpanM = 0.8;
/** Further from the line than this is a mistake: a height misread, a kink or a bubble in the hose, part of full scale. */
const mostResidual = 0.01;

/** The line through the points and its budget at any pressure. Throws where the points cannot carry a line. */
export function calibratePressure(session: HoseSession): PressureCalibration {
  const { points, waterC, latitudeDeg, fullScaleKpa } = session;
  const heights = points.map((point) => point.heightM);
  if (points.length < fewestPoints || Math.max(...heights) - Math.min(...heights) < leastSpanM)
    throw new ThermometryError(
      points.length < fewestPoints ? 'too-few-points' : 'no-spread',
      `${points.length} heights over ${(Math.max(...heights) - Math.min(...heights)).toFixed(2)} m cannot carry a line. Take ${fewestPoints} or more, spread over ${leastSpanM} m at least; 0, 0.5, 1, 1.5 and 2 m are good.`,
    );
  const kpa = points.map(({ heightM }) => hoseKpa({ heightM, waterC, latitudeDeg }));
  const meanVolts = points.reduce((sum, { volts }) => sum + volts, 0) / points.length;
  const kpaPerMetre = hoseKpa({ heightM: 1, waterC, latitudeDeg });
  const nominalKpaPerVolt = fullScaleKpa / 4;
  const ofHeight = (limits.heightM * kpaPerMetre) / Math.sqrt(3);
  const fit = fitLinear({
    design: points.map(({ volts }) => [1, volts - meanVolts]),
    observed: kpa,
    errors: points.map(({ scatterVolts, readings }) =>
      Math.hypot(ofHeight, (nominalKpaPerVolt * scatterVolts) / Math.sqrt(readings)),
    ),
  });
  const [atMean = 0, kpaPerVolt = 0] = fit.parameters;
  const worst = Math.max(...fit.residuals.map(Math.abs));
  if (worst > mostResidual * fullScaleKpa) {
    const at = fit.residuals.findIndex((r) => Math.abs(r) === worst);
    throw new ThermometryError(
      'not-physical',
      `The point at ${points[at]?.heightM} m is ${worst.toFixed(1)} kPa off the line of the others. Look for a kink or a bubble in the hose, or a height misread, and take the points again.`,
    );
  }
  const ofWater =
    Math.abs(
      hoseKpa({ heightM: 1, waterC: Math.min(40, waterC + limits.waterC), latitudeDeg }) / kpaPerMetre - 1,
    ) / Math.sqrt(3);
  const linesAt = (at: number): readonly PressureLine[] => {
    const volts = (at - atMean) / kpaPerVolt;
    const covariance = fit.covariance ?? [];
    const [[a = 0, b = 0] = [], [, c = 0] = []] = covariance;
    const rectangular = 'rectangular' as const;
    return [
      {
        source: 'heights read, and scatter of the readings',
        distribution: 'normal',
        standardUncertaintyKpa: Math.sqrt(Math.max(0, a + 2 * b * volts + c * volts * volts)),
      },
      {
        source: 'rule, and hose held askew',
        distribution: rectangular,
        standardUncertaintyKpa: (Math.abs(at) * limits.scale) / Math.sqrt(3),
      },
      {
        source: 'temperature of the water',
        distribution: rectangular,
        standardUncertaintyKpa: Math.abs(at) * ofWater,
      },
      {
        source: 'nonlinearity of the transducer',
        distribution: rectangular,
        standardUncertaintyKpa: (limits.nonlinearity * fullScaleKpa) / Math.sqrt(3),
      },
      {
        source: 'span of the transducer in a hot engine room',
        distribution: rectangular,
        standardUncertaintyKpa: (Math.abs(at) * limits.hotSpan) / Math.sqrt(3),
      },
      {
        source: 'nonlinearity of the board’s converter',
        distribution: rectangular,
        standardUncertaintyKpa: (((limits.converterCounts * 5) / 1024) * kpaPerVolt) / Math.sqrt(3),
      },
    ];
  };
  return {
    offsetKpa: atMean - kpaPerVolt * meanVolts,
    kpaPerVolt,
    residualsKpa: fit.residuals,
    linesAt,
  };
}

/** Standard and expanded (95 %) uncertainty of independent lines, kPa. */
export function pressureUncertainty(lines: readonly PressureLine[]): {
  readonly standardUncertaintyKpa: number;
  readonly coverageFactor: number;
  readonly expandedUncertaintyKpa: number;
} {
  // The factor depends on the shapes and the ratios of the lines only, not on their unit.
  const unitless = lines.map(
    ({ standardUncertaintyKpa, ...line }): BudgetLine => ({
      ...line,
      standardUncertaintyC: standardUncertaintyKpa,
    }),
  );
  const standardUncertaintyKpa = combined(unitless);
  const coverageFactor = coverageFactor95(unitless);
  return {
    standardUncertaintyKpa,
    coverageFactor,
    expandedUncertaintyKpa: coverageFactor * standardUncertaintyKpa,
  };
}
