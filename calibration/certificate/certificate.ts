import { z } from 'zod';
import { sensorSchema } from '../reading/sensor.js';
import { steinhartHart4Law } from '../thermistor/law-schema.js';

/** The layout this code writes and the newest it reads; layout 1 is read as it was issued. */
export const certificateLayout = 2;

const chain = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('divider'),
    divider: z.strictObject({
      resistorOhms: z.number().positive(),
      thermistorSide: z.enum(['low', 'high']),
      leadOhms: z.number().min(0).optional(),
    }),
    supplyVolts: z.number().positive(),
    fullScale: z.number().positive(),
    bendCounts: z.number().min(0),
    conversionsPerReading: z.number().positive(),
    offsetCounts: z.number().min(0).optional(),
    gainCounts: z.number().min(0).optional(),
    resistorPerC: z.number().min(0).optional(),
    supplyShare: z.number().min(0).optional(),
  }),
  z.strictObject({
    kind: z.literal('amplifier'),
    name: z.string(),
    stepMicrovolts: z.number().positive(),
    coldJunctionLimitC: z.number().min(0),
    gainLimit: z.number().min(0),
    wire: z.enum(['iec-1', 'iec-2', 'astm-special', 'astm-standard']),
    conversionsPerReading: z.number().positive(),
    offsetMicrovolts: z.number().min(0).optional(),
    gainShare: z.number().min(0).optional(),
  }),
]);

const distribution = z.enum(['normal', 'rectangular']);

/** One settled point, as the session took it. */
export const pointSchema = z.strictObject({
  kind: z.enum(['ice', 'boiling', 'reference']),
  temperatureC: z.number(),
  errors: z.array(
    z.strictObject({
      key: z.string(),
      source: z.string(),
      distribution,
      standardUncertaintyC: z.number().min(0),
      biasC: z.number().optional(),
    }),
  ),
  conditions: z.record(z.string(), z.number()),
  signal: z.strictObject({
    raw: z.number(),
    rawUnit: z.enum(['ohm', 'microvolt', 'volt']),
    coldJunctionC: z.number().optional(),
  }),
  scatter: z.number().min(0),
  readings: z.number().int().min(2),
  heldS: z.number().min(0),
  trendCPerMin: z.number(),
  lag: z
    .strictObject({
      remainingC: z.number(),
      standardUncertaintyC: z.number().min(0),
      timeConstantS: z.number().positive().optional(),
    })
    .optional(),
  reference: z
    .strictObject({
      certificate: z.string(),
      calibratedOn: z.string(),
      expandedUncertaintyC: z.number().positive(),
      coverageFactor: z.number().positive(),
      driftCPerYear: z.number().min(0),
    })
    .optional(),
  takenAt: z.iso.datetime(),
});

const model = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('corrected'),
    law: steinhartHart4Law.optional(),
    fromC: z.number(),
    stepC: z.number().positive(),
    correctionsC: z.array(z.number()).min(2),
  }),
  z.strictObject({
    kind: z.literal('thermistor'),
    fitted: z.enum(['offset', 'resistance-and-beta', 'steinhart-hart']),
    law: steinhartHart4Law,
  }),
  z.strictObject({
    kind: z.literal('thermocouple'),
    fitted: z.enum(['offset', 'offset-and-gain']),
    offsetMicrovolts: z.number(),
    gain: z.number(),
  }),
]);

/** A line of the budget; lines of one source follow each other. */
const budgetLine = z.strictObject({
  source: z.string(),
  distribution,
  standardUncertaintyC: z.number().min(0),
});

export const certificateSchema = z.strictObject({
  /** Version of this layout. */
  certificate: z.union([z.literal(1), z.literal(certificateLayout)]),
  probe: z.strictObject({ id: z.string(), name: z.string() }),
  /** 1 for the first certificate of a probe, then counting up; a new calibration never replaces an old file. */
  issue: z.number().int().min(1),
  issuedAt: z.iso.datetime(),
  sensor: sensorSchema,
  chain,
  points: z.array(pointSchema).min(1),
  model,
  parameters: z.array(
    z.strictObject({ name: z.string(), value: z.number(), standardUncertainty: z.number().min(0) }),
  ),
  /** Between the parameters, in their order and units. */
  covariance: z.array(z.array(z.number())),
  residualsC: z.array(z.number()),
  validC: z.strictObject({ from: z.number(), to: z.number() }),
  /** Expanded uncertainty (95 %) of one reading over temperature, in steps over the valid range. */
  uncertainty: z
    .array(
      z.strictObject({
        temperatureC: z.number(),
        standardUncertaintyC: z.number().min(0),
        coverageFactor: z.number().positive(),
        expandedUncertaintyC: z.number().min(0),
      }),
    )
    .min(2),
  /** Doubts that the points raise; absent when there are none. */
  doubts: z.array(z.string()).optional(),
  budgets: z.array(z.strictObject({ temperatureC: z.number(), lines: z.array(budgetLine) })),
  integrity: z.string(),
});

/** A calibration certificate of one probe: what was measured, what follows, and how far it can be trusted. */
export type Certificate = z.infer<typeof certificateSchema>;

/** How a reading names the certificate behind it. */
export const certificateName = (certificate: Pick<Certificate, 'probe' | 'issue'>): string =>
  `${certificate.probe.id}@${certificate.issue}`;
