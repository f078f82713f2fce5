import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { ThermometryError } from '../errors.js';

/** JSON with the keys of every object in order, so that the same content always gives the same text. */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  if (value !== null && typeof value === 'object') {
    const entries = Object.entries(value)
      .filter(([, v]) => v !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1));
    return `{${entries.map(([k, v]) => `${JSON.stringify(k)}:${canonicalJson(v)}`).join(',')}}`;
  }
  return JSON.stringify(value);
}

/** The JSON of a certificate's file, which `file` names in errors. Throws for text that is none. */
export function documentOf(text: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch (cause) {
    throw new ThermometryError('bad-certificate', `${file} is not JSON: ${(cause as Error).message}`, {
      cause,
    });
  }
}

/** Throws for a document that is not as it was issued. */
export function expectUnedited(document: unknown, integrity: string, file: string): void {
  if (integrityOf(document as Record<string, unknown>) !== integrity)
    throw new ThermometryError(
      'edited-certificate',
      `${file} was changed after it was issued: its checksum does not fit. Restore it from a copy, or calibrate again.`,
    );
}

/** Checksum of a document without its own `integrity` field. It notices hand edits; it does not stop a forger. */
export function integrityOf(document: Readonly<Record<string, unknown>>): string {
  const { integrity: _, ...rest } = document;
  return `sha256:${bytesToHex(sha256(utf8ToBytes(canonicalJson(rest))))}`;
}
