/**
 * What the node offers to the host and the command line; anything else in node/ may change tomorrow.
 * Only types and small pure functions are loaded at once. What drives a board is loaded when it is called.
 */

export { asMonotonicMs, asWallMs, type Clock, type MonotonicMs, systemClock, type WallMs } from './clock.js';
export type { Alert, AlertCommand, AlertState, Evidence, Priority } from './guard/alert.js';
export { priorities } from './guard/alert.js';
export { checkYaml, type YamlWords } from './kit/check-yaml.js';
export { loadKit, parseKit } from './kit/load-kit.js';
export { type Engine, engines, type Kit, kitSchema, type Place, places } from './kit/schema.js';
export { encodeFrame } from './link/frame.js';
export type {
  AlertRow,
  FromNode,
  NodeCounters,
  NodeMessage,
  NumberedMessage,
  ProbeCard,
  ReadingRow,
  ToNode,
} from './link/messages.js';
export { parseFromNode } from './link/parse-message.js';
export { receiveFrames } from './link/receive-frames.js';
export { NodeError, type NodeErrorCode } from './node-error.js';
export { type MissingReason, missingReasons, type Quality, type RawUnit } from './reading.js';
