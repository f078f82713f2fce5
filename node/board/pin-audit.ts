import { question } from './firmata-protocol.js';
import type { Frame } from './frames.js';
import type { OrderedPin } from './pins.js';

/** One pin at a time, ten times a second: every pin of a kit is looked at within a second. */
const everyMs = 100;
/** An answer that did not come in this many turns is not waited for any more: it was damaged. */
const mostTurnsWaited = 7;
/** Asked where there is no pin in use: the answer alone shows that the board still listens. */
const anyPin = 2;

type AuditedBoard = {
  readonly ordered: () => readonly OrderedPin[];
  readonly ask: (bytes: readonly number[]) => void;
  readonly setUpAgain: () => void;
  readonly nowMs: () => number;
};

/**
 * Asks the firmware what mode and level it gives a pin, and has everything ordered again where that is not
 * what was ordered: an order damaged on its way would otherwise leave a buzzer silent for ever. Also keeps
 * bytes coming from a board without analogue inputs, so that silence always means that it is gone.
 */
export class PinAudit {
  readonly #board: AuditedBoard;
  /** By pin, when the firmware last said that it is as ordered; all that are missing count from the connection. */
  readonly #confirmedAtMs = new Map<number, number>();
  #runningSinceMs: number | undefined;
  readonly #timer: NodeJS.Timeout;
  #turn = 0;
  #turnsWaited = 0;
  #asked: (Partial<OrderedPin> & { readonly pin: number }) | undefined;
  #running = false;
  #repaired = 0;

  constructor(board: AuditedBoard) {
    this.#board = board;
    this.#timer = setInterval(() => this.#askNext(), everyMs);
  }

  /** The pin whose state may be reported now. */
  get askedPin(): number | undefined {
    return this.#asked?.pin;
  }

  get repaired(): number {
    return this.#repaired;
  }

  /** For how long the firmware has not confirmed mode and level of this pin, ms; undefined while the board is disconnected. */
  unconfirmedMs(pin: number): number | undefined {
    if (this.#runningSinceMs === undefined) return undefined;
    return this.#board.nowMs() - (this.#confirmedAtMs.get(pin) ?? this.#runningSinceMs);
  }

  setRunning(running: boolean): void {
    this.#confirmedAtMs.clear();
    this.#runningSinceMs = running ? this.#board.nowMs() : undefined;
    this.#running = running;
    this.#asked = undefined;
  }

  take({ pin, mode, state }: Frame & { readonly kind: 'pin-state' }): void {
    const asked = this.#asked;
    this.#asked = undefined;
    const now = this.#board.ordered().find((one) => one.pin === pin);
    // The order may have changed while the question was under way; the next turn will show it.
    if (asked?.mode === undefined || now?.mode !== asked.mode || now.high !== asked.high) return;
    if (mode === asked.mode && (asked.high === undefined || (state !== 0) === asked.high)) {
      this.#confirmedAtMs.set(pin, this.#board.nowMs());
      return;
    }
    this.#repaired += 1;
    this.#board.setUpAgain();
  }

  stop(): void {
    clearInterval(this.#timer);
  }

  #askNext(): void {
    if (!this.#running) return;
    if (this.#asked !== undefined && ++this.#turnsWaited < mostTurnsWaited) return;
    this.#turnsWaited = 0;
    const ordered = this.#board.ordered();
    this.#asked = ordered[this.#turn++ % Math.max(ordered.length, 1)] ?? { pin: anyPin };
    this.#board.ask(question.pinState(this.#asked.pin));
  }
}
