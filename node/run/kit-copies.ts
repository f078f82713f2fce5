import { createHash } from 'node:crypto';
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { z } from 'zod';
import { readWhole } from '../kit/read-whole.js';

/** The texts that a guard last started or continued with: the kit and all it names. */
export type KitCopy = {
  readonly kit: string;
  /** Baseline and certificates, by the names that the kit gives them. */
  readonly files: Readonly<Record<string, string>>;
};

const copySchema = z.strictObject({ kit: z.string(), files: z.record(z.string(), z.string()) });
const fileSchema = z.strictObject({ layout: z.literal(1), sha256: z.string(), copy: z.string() });

/** Two, written one after the other, so that one is whole whenever the power goes. */
const paths = (dataDir: string): readonly string[] =>
  ['last-good-kit.json', 'last-good-kit.2.json'].map((name) => join(dataDir, name));

/** The last known good kit; nothing when neither copy is whole. */
export const readKitCopy = (dataDir: string): KitCopy | undefined => {
  for (const path of paths(dataDir)) {
    try {
      const { sha256, copy } = fileSchema.parse(JSON.parse(readWhole(path)));
      if (sumOf(copy) === sha256) return copySchema.parse(JSON.parse(copy));
    } catch {
      // The other one.
    }
  }
  return undefined;
};

/** Keeps what is in force now, unless that is what lies there. Throws the system's error. */
export const writeKitCopy = async (dataDir: string, now: KitCopy): Promise<void> => {
  const copy = JSON.stringify(now);
  const text = `${JSON.stringify({ layout: 1, sha256: sumOf(copy), copy })}\n`;
  await mkdir(dataDir, { recursive: true });
  for (const path of paths(dataDir)) if (!lies(path, text)) await writeFileAtomic(path, text);
};

const sumOf = (text: string): string => createHash('sha256').update(text).digest('hex');

const lies = (path: string, text: string): boolean => {
  try {
    return readWhole(path) === text;
  } catch {
    return false;
  }
};
