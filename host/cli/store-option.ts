import { existsSync } from 'node:fs';
import { basename, join } from 'node:path';
import { hostFolderIn, usualBoatData } from '../settings/data-folders.js';
import { textOption } from './usual-options.js';

/** What shows that a folder is the host's own: a store apart from a boat, or one named after its use. */
const ofTheHost = ['elbowroom.sqlite', 'host.yaml', 'access.json', 'forward.json'];

/** The host's folder in the boat's data folder; a folder that is itself a host's is taken as it is. */
export const hostFolderOf = (dataDir: string): string =>
  basename(dataDir) === 'host' || ofTheHost.some((name) => existsSync(join(dataDir, name)))
    ? dataDir
    : hostFolderIn(dataDir);

/** Taken by every command that reads or writes what the host keeps: the same folder that `elbowroom watch` is given. */
export const storeOption = {
  'data-dir': {
    ...textOption("The boat's data folder; the store and host.yaml are in host/ there"),
    default: usualBoatData,
    coerce: hostFolderOf,
  },
};
