/**
 * What the node offers to the host and the command line; anything else in node/ may change tomorrow.
 * Only types and small pure functions are loaded at once. What drives a board is loaded when it is called.
 */
import type { Duplex } from 'node:stream';
import type { NodeOptions, RunningNode } from './run/run-node.js';
import type { WiringLook } from './wiring/look.js';
import type { OpenWiring, WiringOptions } from './wiring/open-wiring.js';
import type { ProbeLook } from './wiring/probe-look.js';

export { type ErrorCategory, RoomError } from '../calibration/index.js';
export type { Alert, AlertCommand, Priority } from './alerts/alert.js';
export { priorities } from './alerts/alert.js';
export { isSetUp } from './alerts/condition.js';
export { silenceS } from './alerts/ledger.js';
export { alertStateOf, type LifeState, nextLifeState } from './alerts/life-cycle.js';
export { flashableBoards } from './board/flash/flashable-boards.js';
export { samplingIntervalMs } from './board/sampling-interval.js';
export { slug, slugShape } from './channels/fields.js';
export { kindOf } from './channels/table.js';
export { type Assessment, assess, type BuzzerProof, dippedIn } from './commission/assess.js';
export { CommissionBook } from './commission/commission-book.js';
export { secondsWanted } from './commission/lacks.js';
export { NodeError } from './errors/node-error.js';
export { bins } from './guard/baseline.js';
export { type BaselineFile, parseBaseline } from './guard/baseline-file.js';
export { type GuardInput, type GuardState, guard, resumeGuard, startGuard } from './guard/guard.js';
export { clearedLatch, type Latch, stepLatch } from './guard/latch.js';
export type { GuardSettings } from './guard/settings.js';
export { settingsFromKit } from './guard/settings-from-kit.js';
export { checkYaml } from './kit/check-yaml.js';
export {
  alikeSchema,
  allEngines,
  type Engine,
  engineOrAll,
  enginesOf,
  engineTroubles,
  type KitEngine,
  plannedEngines,
} from './kit/engines.js';
export { loadKit } from './kit/load-kit.js';
export { quantityAt } from './kit/places.js';
export type { Kit } from './kit/schema.js';
export { type EngineCard, engineCards, firstEngineCards } from './link/engine-cards.js';
export { HostProtocol } from './link/host-protocol.js';
export {
  type AlertRow,
  type FromNode,
  type Inner as ToNodeMessage,
  type NodeMessage,
  type NumberedMessage,
  type ProbeCard,
  parseFromNode,
  type ReadingRow,
} from './link/messages.js';
export { receiveFrames } from './link/receive-frames.js';
export { probeCards } from './link/rows.js';
export type { LinkSecret } from './link/seal.js';
export { secretFile } from './link/secret-file.js';
export { quietLog } from './log/log.js';
export { logLevels } from './log/log-level.js';
export { checkWholeKit } from './pass/loaded-kit.js';
export {
  type Quantity,
  quantities,
  type RowValues,
  rowValue,
  valued,
  valueNames,
} from './reading/quantity.js';
export {
  missingReasons,
  type Quality,
  type RawUnit,
  type Reading,
  temperatureOf,
} from './reading/reading.js';
export type { ReadingCounts } from './reading/reading-tally.js';
export { asMonotonicMs, type Clock, systemClock } from './time/clock.js';

export { comesFromHere, isLoopbackName } from './web/same-origin.js';
export type { NodeOptions, ProbeLook, RunningNode, WiringLook };

/** Starts a node; see `node/run/run-node.ts`. Throws `NodeError`. */
export const runNode = async (options: NodeOptions): Promise<RunningNode> =>
  (await import('./run/run-node.js')).runNode(options);

/** What would keep a node from starting, before it is started; see `node/run/check-start.ts`. Throws `NodeError`. */
export const checkStart = async (
  options: Pick<NodeOptions, 'kitPath' | 'dataDir' | 'linkListen'>,
): Promise<void> => (await import('./run/check-start.js')).checkStart(options);

/** A serial port as a plain stream, for the host's end of a serial link. Rejects with a sentence for a person. */
export const openLinkStream = async (path: string, baudRate: number): Promise<Duplex> =>
  (await import('./board/serial-port.js')).openSerialStream(path, baudRate);

/** Opens the board of a kit to look at its wiring; see `node/wiring/open-wiring.ts`. Throws `NodeError`. */
export const openWiring = async (options: WiringOptions): Promise<OpenWiring> =>
  (await import('./wiring/open-wiring.js')).openWiring(options);

/** The last look that a recording of `openWiring` allows. Throws `NodeError` when the file is not one. */
export const lookAtRecordingFile = async (path: string): Promise<WiringLook> => {
  const { lookAtRecording } = await import('./wiring/look-at-recording.js');
  const { readRecording } = await import('./wiring/recording.js');
  return lookAtRecording(readRecording(path));
};

/** Puts the stock firmware on an Uno, Nano or Mega; see `node/board/flash/`. Throws `BoardError`. */
export const flashStockFirmware = async (
  options: import('./board/flash/flash-stock-firmware.js').FlashOptions,
) => (await import('./board/flash/flash-stock-firmware.js')).flashStockFirmware(options);
