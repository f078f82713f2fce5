/** Uploads what the store holds to a time-series server; the store stays the truth. */
export {
  checkDestination,
  type Destination,
  readDestination,
  tokenOf,
  writeAddress,
  writeDestination,
} from './destination.js';
export { backfill, Forwarder, forwardStatus } from './forwarder.js';
export { type RunningForwarder, runForwarder } from './run-forwarder.js';
export { uploaderTo } from './uploader.js';
