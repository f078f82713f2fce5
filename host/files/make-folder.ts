import { mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/**
 * Makes a folder and those above it. Step by step, because Node's own recursion never comes back from a place such as
 * /proc, where what is missing cannot be made. Throws the system's error.
 */
export const makeFolder = (path: string): void => {
  const above = dirname(resolve(path));
  if (statSync(above, { throwIfNoEntry: false }) === undefined) makeFolder(above);
  try {
    mkdirSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST' || !statSync(path).isDirectory()) throw error;
  }
};
