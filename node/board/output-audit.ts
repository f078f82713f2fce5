import { pinMode, question } from './firmata-protocol.js';
import type { Frame } from './frames.js';
import type { Pins } from './pins.js';

/** One pin at a time, a few times a second: every output is looked at within a second or two. */
const everyMs = 250;
/** An answer that did not come in this many turns is not waited for any more: it was damaged. */
const mostTurnsWaited = 4;
/** Asked where there is no output: the answer alone shows that the board still listens. */
const anyPin = 2;

/**
 * Asks the firmware what mode and level it gives an output, and orders it again where that is not what was
 * ordered: an order damaged on its way would otherwise leave a buzzer dumb for ever. Also keeps bytes
 * coming from a board without analogue inputs, so that silence always means that it is gone.
 */
export class OutputAudit {
  readonly #pins: Pins;
  readonly #ask: (bytes: readonly number[]) => void;
  readonly #timer: NodeJS.Timeout;
  #turn = 0;
  #turnsWaited = 0;
  #asked: { readonly pin: number; readonly high: boolean | undefined } | undefined;
  #running = false;
  #mended = 0;

  constructor(pins: Pins, ask: (bytes: readonly number[]) => void) {
    this.#pins = pins;
    this.#ask = ask;
    this.#timer = setInterval(() => this.#askNext(), everyMs);
  }

  /** The pin whose state may be reported now. */
  get askedPin(): number | undefined {
    return this.#asked?.pin;
  }

  get mended(): number {
    return this.#mended;
  }

  setRunning(running: boolean): void {
    this.#running = running;
    this.#asked = undefined;
  }

  take({ pin, mode, state }: Frame & { readonly kind: 'pin-state' }): void {
    const asked = this.#asked;
    this.#asked = undefined;
    const now = this.#pins.outputs.find((output) => output.pin === pin);
    // The order may have changed while the question was under way; the next turn will tell.
    if (asked?.high === undefined || now?.high !== asked.high) return;
    if (mode === pinMode.output && (state !== 0) === asked.high) return;
    this.#mended += 1;
    this.#pins.mend(pin);
  }

  stop(): void {
    clearInterval(this.#timer);
  }

  #askNext(): void {
    if (!this.#running) return;
    if (this.#asked !== undefined && ++this.#turnsWaited < mostTurnsWaited) return;
    this.#turnsWaited = 0;
    const { outputs } = this.#pins;
    const output = outputs[this.#turn++ % Math.max(outputs.length, 1)];
    this.#asked = output ?? { pin: anyPin, high: undefined };
    this.#ask(question.pinState(this.#asked.pin));
  }
}
