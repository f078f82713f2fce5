import { usualDataDir } from '../settings/chosen-degrees.js';

/** Taken by every command that reads or writes what the host keeps. */
export const storeOption = {
  'data-dir': {
    type: 'string',
    requiresArg: true,
    default: usualDataDir,
    describe: 'Where the store lies, and host.yaml beside it',
  },
} as const;
