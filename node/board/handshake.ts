import type { MonotonicMs } from '../time/clock.js';
import { question } from './firmata-protocol.js';
import { type Firmware, objectionToFirmware, type PinMap } from './firmware.js';
import type { Frame, PinCapabilities } from './frames.js';

/** What a step of the handshake came to. */
export type HandshakeOutcome =
  | { readonly kind: 'waiting' }
  | { readonly kind: 'known'; readonly firmware: Firmware; readonly pinMap: PinMap }
  | { readonly kind: 'refused'; readonly trouble: 'wrong-firmware' | 'no-firmware'; readonly detail: string };

/** A board may spend two seconds in its bootloader; a question asked meanwhile is lost and must be asked again. */
const askAgainAfterMs = 400;
const giveUpAfterMs = 8000;
/** Long enough for a bootloader to give up waiting, and for the firmware after it to introduce itself unasked. */
const quietMs = 4000;
const waiting: HandshakeOutcome = { kind: 'waiting' };

/**
 * Asks a newly opened port who it is: version, firmware, capabilities, analogue mapping, in that order,
 * repeating each until it is answered. firmata-io asks each once and waits for ever.
 */
export class Handshake {
  readonly #ask: (bytes: readonly number[]) => void;
  readonly #startedAtMs: MonotonicMs;
  #askedAtMs: number;
  #protocol: Firmware['protocol'] | undefined;
  #firmware: Firmware | undefined;
  #pins: readonly PinCapabilities[] | undefined;
  #channels: readonly number[] | undefined;

  /**
   * `beginsQuietly` leaves the first four seconds to the board. A Mega's bootloader is held by any byte in its
   * first second, and by each further one for some seconds more: asked all the time it never starts its program.
   */
  constructor(ask: (bytes: readonly number[]) => void, nowMs: MonotonicMs, beginsQuietly = false) {
    this.#ask = ask;
    this.#startedAtMs = nowMs;
    this.#askedAtMs = beginsQuietly ? nowMs + quietMs - askAgainAfterMs : Number.NEGATIVE_INFINITY;
  }

  take(frame: Frame, nowMs: MonotonicMs): HandshakeOutcome {
    const asked = this.#nextQuestion();
    switch (frame.kind) {
      case 'version':
        this.#protocol = { major: frame.major, minor: frame.minor };
        break;
      case 'firmware': {
        if (this.#protocol === undefined) break;
        const version = { major: frame.major, minor: frame.minor };
        this.#firmware = { protocol: this.#protocol, name: frame.name, version };
        const objection = objectionToFirmware(this.#firmware);
        if (objection !== undefined) return { kind: 'refused', trouble: 'wrong-firmware', detail: objection };
        break;
      }
      case 'capabilities':
        this.#pins = frame.pins;
        break;
      case 'analog-mapping':
        if (frame.channels.length === this.#pins?.length) this.#channels = frame.channels;
        break;
      default:
        return waiting;
    }
    // An answer that came twice must not be asked for again, or each would bring two more.
    if (this.#nextQuestion() !== asked) this.#askedAtMs = Number.NEGATIVE_INFINITY;
    return this.tick(nowMs);
  }

  /** Call a few times a second: asks again what was not answered, and gives up in the end. */
  tick(nowMs: MonotonicMs): HandshakeOutcome {
    if (this.#firmware && this.#pins && this.#channels)
      return {
        kind: 'known',
        firmware: this.#firmware,
        pinMap: { pins: this.#pins, channels: this.#channels },
      };
    if (nowMs - this.#startedAtMs > giveUpAfterMs)
      return { kind: 'refused', trouble: 'no-firmware', detail: this.#silenceInWords() };
    if (nowMs - this.#askedAtMs >= askAgainAfterMs) {
      this.#askedAtMs = nowMs;
      this.#ask(this.#nextQuestion());
    }
    return waiting;
  }

  #nextQuestion(): readonly number[] {
    if (this.#protocol === undefined) return question.version;
    if (this.#firmware === undefined) return question.firmware;
    return this.#pins === undefined ? question.capabilities : question.analogMapping;
  }

  #silenceInWords(): string {
    const remedy = 'Check that it is the board, and put the stock firmware on it: elbowroom flash';
    if (this.#protocol === undefined)
      return `The port opened and nothing on it answers with Firmata at 57,600 baud. ${remedy}`;
    if (this.#firmware === undefined) return `The board gave a version but no firmware name. ${remedy}`;
    return 'The board stopped answering in the middle of the handshake. Check its cable and its supply.';
  }
}
