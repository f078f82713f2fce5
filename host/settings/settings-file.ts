import { join } from 'node:path';
import { RoomError } from '../../node/index.js';

/** host.yaml, or a file it names, cannot be used. The message is for the owner: what, where, what to do. */
export class SettingsError extends RoomError {
  readonly code = 'host-settings';
  readonly errorCategory = 'usage';
}

export const settingsPath = (dataDir: string): string => join(dataDir, 'host.yaml');
