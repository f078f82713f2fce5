import { join } from 'node:path';

/** host.yaml, or a file it names, cannot be used. The message is for the owner: what, where, what to do. */
export class SettingsError extends Error {
  readonly code = 'host-settings';
  readonly errorCategory = 'asked-wrongly';
}

export const settingsPath = (dataDir: string): string => join(dataDir, 'host.yaml');
