import { readdirSync } from 'node:fs';
import { join } from 'node:path';

/** The folder that holds everything about the boat but the kit file and its certificates. */
export const usualBoatData = 'elbowroom-data';

/** Where the host keeps store, host.yaml and passwords, in the boat's data folder. */
export const hostFolderIn = (boatData: string): string => join(boatData, 'host');

/** Names of the folders in which nodes keep alerts and copies of their kits: `node`, and `node-2` of a second board. */
export const nodeFoldersIn = (boatData: string): readonly string[] => {
  try {
    return readdirSync(boatData).filter((name) => /^node(-\d+)?$/.test(name));
  } catch {
    return [];
  }
};
