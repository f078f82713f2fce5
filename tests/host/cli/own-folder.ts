import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';

export let folder: string;
/** A folder for each test of the file that calls this, removed after it. */
export const withOwnFolder = (): void => {
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-commands-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
};
export const at = (...names: string[]) => join(folder, ...names);
