import { writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { makeFolder } from '../files/make-folder.js';
import { UnavailableError } from './exit.js';

/** Writes a first version of a file that is the owner's from then on; an existing one is left as it is. */
export const writeIfMissing = (path: string, text: string): void => {
  try {
    makeFolder(dirname(path));
    writeFileSync(path, text, { flag: 'wx' });
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'EEXIST') return;
    throw new UnavailableError(
      `Could not write ${path} (${(cause as Error).message}). Choose a folder that may be written with --data-dir.`,
      { cause },
    );
  }
};
