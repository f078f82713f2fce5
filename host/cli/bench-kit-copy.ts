import { createHash } from 'node:crypto';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { isMap, isSeq, parseDocument } from 'yaml';
import { loadKit } from '../../node/index.js';
import { writeIfMissing } from './write-if-missing.js';

/**
 * Copies an owner's kit to where the bench may change it: badged as invented, on the emulated board, and without the
 * certificates and the baseline, which belong to real parts and a real engine. A copy of the same text is left as it is,
 * so that what was calibrated on the bench stays. Throws `NodeError` when it is no kit.
 */
export const copyKitForBench = (from: string, to: string): void => {
  loadKit(from);
  const text = readFileSync(from, 'utf8');
  const mark = `# Copied for the bench from a kit with SHA-256 ${createHash('sha256').update(text).digest('hex')}.`;
  if (existsSync(to) && readFileSync(to, 'utf8').startsWith(mark)) return;
  rmSync(to, { force: true });
  writeIfMissing(to, `${mark}\n${forBench(text)}`);
};

const forBench = (text: string): string => {
  const document = parseDocument(text);
  document.setIn(['boat', 'invented'], true);
  document.setIn(['board', 'connection'], 'bench');
  document.delete('baseline');
  const probes = document.get('probes');
  for (const probe of isSeq(probes) ? probes.items.filter(isMap) : []) probe.delete('certificate');
  return String(document);
};
