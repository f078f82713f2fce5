import type { MonotonicMs } from '../time/clock.js';
import type { Refusal } from './frame-gate.js';

export type BoardState = 'connecting' | 'connected' | 'lost';

/** What keeps the board from being connected. */
export type BoardTrouble =
  /** Nothing to open: no such path, no board plugged in, no answer at the address, no permission. */
  | 'no-port'
  /** The port is open and nothing on it answers with Firmata. */
  | 'no-firmware'
  /** It uses Firmata and is not the stock firmware, or too old. */
  | 'wrong-firmware'
  /** A board of another kind than the one before: pins and channels differ. */
  | 'other-board'
  /** The link was good and was lost. */
  | 'link-down'
  /** The port is open and no byte came for too long. */
  | 'silent'
  /** Bytes come, and none of them makes sense. */
  | 'garbled';

export type BoardStatus = {
  /** `connecting` until the first handshake; `lost` ever after it while there is no board. */
  readonly state: BoardState;
  readonly trouble?: BoardTrouble;
  /** One sentence for a person: what it is waiting for, or what to do. */
  readonly detail: string;
  readonly sinceMs: MonotonicMs;
  /** Name and version, for example `StandardFirmata 2.5`; while connected. */
  readonly firmware?: string;
  /** The path or address in use; while connected. */
  readonly port?: string;
};

export type BoardCounters = {
  /** Handshakes completed; the first included. */
  readonly connects: number;
  /** Times the board restarted behind an open port. */
  readonly resets: number;
  /** Messages and stray bytes that were refused, all reasons together. */
  readonly refused: number;
  readonly refusedBy: Readonly<Partial<Record<Refusal, number>>>;
  /** I2C requests that ended without an answer that could be believed. */
  readonly i2cUnanswered: number;
  /** Pins found in another mode or level than was ordered, and corrected. */
  readonly pinsRepaired: number;
};
