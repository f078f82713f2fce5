import { z } from 'zod';
import { documentOf, expectUnedited, integrityOf } from '../certificate/integrity.js';
import { ThermometryError } from '../errors.js';
import {
  calibratePressure,
  type HoseSession,
  hoseSessionSchema,
  type PressureLine,
  pressureLineSchema,
  pressureUncertainty,
} from './calibrate-pressure.js';

/** The layout this code writes and the newest it reads. */
const layout = 1;

const schema = z.strictObject({
  /** Version of this layout. */
  pressureCertificate: z.literal(layout),
  probe: z.strictObject({ id: z.string(), name: z.string() }),
  /** 1 for the first certificate of a probe, then counting up. */
  issue: z.number().int().min(1),
  issuedAt: z.iso.datetime(),
  ...hoseSessionSchema.shape,
  offsetKpa: z.number(),
  kpaPerVolt: z.number().positive(),
  residualsKpa: z.array(z.number()),
  /** Over the whole scale, rising. */
  uncertainty: z
    .array(
      z.strictObject({
        pressureKpa: z.number(),
        standardUncertaintyKpa: z.number().min(0),
        coverageFactor: z.number().positive(),
        expandedUncertaintyKpa: z.number().min(0),
      }),
    )
    .min(2),
  budgets: z.array(z.strictObject({ pressureKpa: z.number(), lines: z.array(pressureLineSchema) })),
  integrity: z.string(),
});

/** A calibration certificate of one pressure probe: what was measured, what follows, how far it can be trusted. */
export type PressureCertificate = z.infer<typeof schema>;

const steps = [0, 0.025, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.75, 1];
/** Where budgets are printed line by line: no pressure, about idle, about wide open. */
const budgetedShares = [0, 0.05, 0.4];

/** Draws up the certificate of a probe. `issue` and `issuedAt` (ISO 8601) come from the caller. Throws for bad points. */
export function issuePressureCertificate(
  input: HoseSession & {
    readonly probe: { readonly id: string; readonly name: string };
    readonly issue: number;
    readonly issuedAt: string;
  },
): PressureCertificate {
  const { probe, issue, issuedAt, fullScaleKpa, waterC, latitudeDeg, points } = input;
  const { offsetKpa, kpaPerVolt, residualsKpa, linesAt } = calibratePressure(input);
  const at = (share: number) => share * fullScaleKpa;
  const document = {
    pressureCertificate: layout,
    probe,
    issue,
    issuedAt,
    fullScaleKpa,
    waterC,
    latitudeDeg,
    points,
    offsetKpa,
    kpaPerVolt,
    residualsKpa,
    uncertainty: steps.map((share) => ({
      pressureKpa: at(share),
      ...pressureUncertainty(linesAt(at(share))),
    })),
    budgets: budgetedShares.map((share) => ({
      pressureKpa: at(share),
      lines: [...linesAt(at(share))].sort(byWeight),
    })),
  };
  const plain = JSON.parse(JSON.stringify(document)) as Omit<PressureCertificate, 'integrity'>;
  return { ...plain, integrity: integrityOf(plain) };
}

const byWeight = (a: PressureLine, b: PressureLine): number =>
  b.standardUncertaintyKpa - a.standardUncertaintyKpa;

/** Reads a pressure certificate. `file` names it in errors. Throws for a file that is not one, is newer or was edited. */
export function parsePressureCertificate(text: string, file: string): PressureCertificate {
  const document = documentOf(text, file);
  const parsed = schema.safeParse(document);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    throw new ThermometryError(
      'bad-certificate',
      `${file} is no certificate of a pressure probe (${issue?.path.join('.') || 'top'}: ${issue?.message}). Restore it from a copy, or calibrate again.`,
    );
  }
  expectUnedited(document, parsed.data.integrity, file);
  return parsed.data;
}

/** A reading by its certificate, kPa and k = 1. */
export function certifiedPressure(
  certificate: PressureCertificate,
  volts: number,
): { readonly value: number; readonly uncertainty: number } {
  const value = certificate.offsetKpa + certificate.kpaPerVolt * volts;
  const { uncertainty } = certificate;
  const next = uncertainty.findIndex(({ pressureKpa }) => pressureKpa >= value);
  const after = uncertainty[next < 0 ? uncertainty.length - 1 : next];
  const before = uncertainty[Math.max(0, (next < 0 ? uncertainty.length : next) - 1)];
  if (!after || !before || after === before)
    return { value, uncertainty: (after ?? before)?.standardUncertaintyKpa ?? 0 };
  const share = (value - before.pressureKpa) / (after.pressureKpa - before.pressureKpa);
  return {
    value,
    uncertainty:
      before.standardUncertaintyKpa + share * (after.standardUncertaintyKpa - before.standardUncertaintyKpa),
  };
}
