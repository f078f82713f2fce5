import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

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

/** Checksum of a document without its own `integrity` field. It notices hand edits; it does not stop a forger. */
export function integrityOf(document: Readonly<Record<string, unknown>>): string {
  const { integrity: _, ...rest } = document;
  return `sha256:${bytesToHex(sha256(utf8ToBytes(canonicalJson(rest))))}`;
}
