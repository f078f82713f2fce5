import { mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/**
 * Makes a folder and those above it. Step by step, because Node's own recursion never returns from a place such as
 * /proc, where no folder can be made. Throws the system's error.
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
