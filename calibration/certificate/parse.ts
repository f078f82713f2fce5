import { ThermometryError } from '../errors.js';
import { type Certificate, certificateLayout, certificateSchema } from './certificate.js';
import { documentOf, expectUnedited } from './integrity.js';

/**
 * Reads a certificate from the text of its file. `file` names it in errors. Throws for text that is no certificate
 * (naming the field), for a layout newer than this program knows, and for one that was edited after it was issued.
 */
export function parseCertificate(text: string, file: string): Certificate {
  const document = documentOf(text, file);
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
  expectUnedited(document, parsed.data.integrity, file);
  return parsed.data;
}
