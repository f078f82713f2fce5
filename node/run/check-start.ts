import { parseListenAddress } from '../link/listen-on.js';
import { readKitCopy } from './kit-copies.js';
import { loadForGuard } from './load-for-guard.js';
import type { NodeOptions } from './run-node.js';

/** Throws `NodeError` for what would end a node at its start: no kit and no copy of one, an invalid address. */
export const checkStart = (options: Pick<NodeOptions, 'kitPath' | 'dataDir' | 'linkListen'>): void => {
  const { kitPath, dataDir, linkListen } = options;
  if (linkListen !== undefined) parseListenAddress(linkListen);
  loadForGuard(kitPath, dataDir === undefined ? undefined : readKitCopy(dataDir));
};
