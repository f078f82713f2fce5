import { readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import { parseDocument } from 'yaml';
import { makeFolder } from '../files/make-folder.js';
import type { Scale } from '../wording/degrees.js';
import { readHostSettings } from './read-settings.js';
import { SettingsError, settingsPath } from './settings-file.js';

/**
 * Writes the choice into host.yaml and leaves the rest of it, comments too, as it was; makes the file where there is none.
 * Throws SettingsError when the file is not one that the host would take, or cannot be written.
 */
export const keepDegrees = (dataDir: string, scale: Scale): void => {
  readHostSettings(dataDir);
  const path = settingsPath(dataDir);
  const document = parseDocument(textOf(path));
  document.set('degrees', scale);
  try {
    makeFolder(dirname(path));
    writeFileAtomic(path, document.toString({ lineWidth: 0 }));
  } catch (error) {
    throw new SettingsError(`${path} cannot be written: ${(error as Error).message}`, { cause: error });
  }
};

const textOf = (path: string): string => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return 'settings: 1\n';
  }
};
