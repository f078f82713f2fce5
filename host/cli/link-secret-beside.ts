import { dirname, join, resolve } from 'node:path';

/** Where node and host of one boat find the secret they share, unless --link-secret says otherwise: beside their folders. */
export const linkSecretBeside = (dataDir: string): string => join(dirname(resolve(dataDir)), 'link-secret');
