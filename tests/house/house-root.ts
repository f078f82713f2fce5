import { resolve } from 'node:path';

/** The top folder of the repository. */
export const houseRoot = resolve(import.meta.dirname, '../..');
