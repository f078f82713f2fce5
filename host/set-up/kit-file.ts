import { copyFileSync, existsSync, readFileSync } from 'node:fs';
import { NodeError, parseKit } from '../../node/index.js';
import { writeWhole } from '../calibration/certificate-files.js';

export type KitText = {
  readonly path: string;
  readonly text: string;
  /** What is wrong with the file as it lies there, by line and column. */
  readonly problem?: string;
};

/** The kit file as the owner wrote it. Throws the file system's error. */
export const readKitText = (path: string): KitText => {
  const text = readFileSync(path, 'utf8');
  const problem = problemOf(text, path);
  return { path, text, ...(problem !== undefined && { problem }) };
};

/** What the schema says against a text; absent when it is a good kit. */
export const problemOf = (text: string, path: string): string | undefined => {
  try {
    parseKit(text, path);
    return undefined;
  } catch (error) {
    if (error instanceof NodeError) return error.message;
    throw error;
  }
};

/** Writes a kit that was checked, and first puts the old one beside it. Answers where the old one lies. */
export const writeKit = async (path: string, text: string, nowMs: number): Promise<string | undefined> => {
  const stamp = new Date(nowMs).toISOString().replace(/[:.]/g, '-').slice(0, 19);
  const backup = `${path}.${stamp}.bak`;
  const had = existsSync(path);
  if (had) copyFileSync(path, backup);
  await writeWhole(path, text);
  return had ? backup : undefined;
};
