import { join } from 'node:path';

/** The folder that holds everything about the boat but the kit file and its certificates. */
export const usualBoatData = 'elbowroom-data';

/** Where the host keeps store, host.yaml and passwords, in the boat's data folder. */
export const hostFolderIn = (boatData: string): string => join(boatData, 'host');

/** Where the node keeps its alerts and its copies of the kit, in the boat's data folder. */
export const nodeFolderIn = (boatData: string): string => join(boatData, 'node');
