import { z } from 'zod';
import { pointSchema } from '../bath/point.js';
import { budgetLineSchema } from '../budget/coverage-factor.js';
import { modelSchema } from '../model/calibration.js';
import { chainSchema } from '../model/input-chain.js';
import { sensorSchema } from '../reading/sensor.js';

/** The layout this code writes and the newest it reads; layout 1 is read as it was issued. */
export const certificateLayout = 2;

export const certificateSchema = z.strictObject({
  /** Version of this layout. */
  certificate: z.union([z.literal(1), z.literal(certificateLayout)]),
  probe: z.strictObject({ id: z.string(), name: z.string() }),
  /** 1 for the first certificate of a probe, then counting up; a new calibration never replaces an old file. */
  issue: z.number().int().min(1),
  issuedAt: z.iso.datetime(),
  sensor: sensorSchema,
  chain: chainSchema,
  points: z.array(pointSchema).min(1),
  model: modelSchema,
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
  /** Lines of one source are one. */
  budgets: z.array(z.strictObject({ temperatureC: z.number(), lines: z.array(budgetLineSchema) })),
  integrity: z.string(),
});

/** A calibration certificate of one probe: what was measured, what follows, and how far it can be trusted. */
export type Certificate = z.infer<typeof certificateSchema>;

/** How a reading names the certificate behind it. */
export const certificateName = (certificate: Pick<Certificate, 'probe' | 'issue'>): string =>
  `${certificate.probe.id}@${certificate.issue}`;
