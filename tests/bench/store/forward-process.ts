import { setTimeout as pause } from 'node:timers/promises';
import { Forwarder, readDestination, uploaderTo } from '../../../host/forward/index.js';
import { openStore } from '../../../host/store/index.js';
import { systemClock } from '../../../node/time/clock.js';

/** Forwards a data folder until it is killed; says so on its channel after every chunk. */
const dataDir = process.argv[2] as string;
const destination = readDestination(dataDir);
if (!destination) throw new Error('no destination');
const store = openStore(dataDir, systemClock);
const forwarder = new Forwarder(store, destination, uploaderTo(destination), systemClock);
process.send?.('ready');
for (;;) {
  const result = await forwarder.step();
  process.send?.(result.kind);
  if (result.kind !== 'sent') await pause(100);
}
