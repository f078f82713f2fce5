import { ThermometryError } from '../errors.js';
import { type Certificate, certificateLayout, certificateSchema } from './certificate.js';
import { integrityOf } from './integrity.js';

/**
 * Reads a certificate from the text of its file. `file` names it in errors. Throws for text that is no certificate
 * (naming the field), for a layout newer than this program knows, and for one that was edited after it was issued.
 */
export function parseCertificate(text: string, file: string): Certificate {
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (error) {
    throw new ThermometryError('bad-certificate', `${file} is not JSON: ${(error as Error).message}`, {
      cause: error,
    });
  }
  if (document === null || typeof document !== 'object' || !('certificate' in document))
    throw new ThermometryError(
      'bad-certificate',
      `${file} is no calibration certificate: it has no field "certificate".`,
    );
  const layout = document.certificate;
  if (typeof layout === 'number' && layout > certificateLayout)
    throw new ThermometryError(
      'newer-version',
      `${file} has layout ${layout}; this program reads up to ${certificateLayout}. Update elbowroom, or calibrate again.`,
    );
  const parsed = certificateSchema.safeParse(document);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    throw new ThermometryError(
      'bad-certificate',
      `${file}: field ${issue?.path.join('.') || '(top)'}: ${issue?.message}. Restore the file from a copy, or calibrate again.`,
    );
  }
  if (integrityOf(document as Record<string, unknown>) !== parsed.data.integrity)
    throw new ThermometryError(
      'edited-certificate',
      `${file} was changed after it was issued: its checksum does not fit. Restore it from a copy, or calibrate again.`,
    );
  return parsed.data;
}
