import firmataIo, { type Firmata } from 'firmata-io';
import five, { type Board } from 'johnny-five';
import type { AnalogInput } from '../bus/analog-input.js';
import type { DigitalInput, DigitalOutput } from '../bus/digital.js';
import type { I2cBus } from '../bus/i2c-bus.js';
import type { Clock } from '../time/clock.js';
import type { BoardLink } from './board-link.js';
import type { BytePort, PortOpener } from './byte-port.js';
import { question, stopReading } from './firmata-protocol.js';
import type { Identity } from './firmware.js';
import { type Expected, FrameGate, type Refusal } from './frame-gate.js';
import type { Frame } from './frames.js';
import { I2cQueue, type I2cWire } from './i2c-queue.js';
import { PinAudit } from './pin-audit.js';
import { Pins } from './pins.js';
import type { BoardCounters, BoardStatus } from './status.js';
import type { SupervisedBoard } from './supervised-board.js';
import { Supervisor } from './supervisor.js';
import { StableTransport } from './transport.js';

/** The longest timer there is: the handshake here keeps its own time, and says more when it runs out. */
const neverMs = 2 ** 31 - 1;

/** A damaged message or two may look unasked; more mean that the firmware got a wrong order. */
const mostUnasked = 5;

/**
 * One johnny-five Board and one Firmata for life, over a transport that changes ports beneath them. Bytes
 * pass the gate before the library sees them; orders pass from the pins and the I2C queue to the library.
 */
export class LiveBoard implements BoardLink {
  readonly #transport = new StableTransport();
  readonly #io: Firmata;
  readonly #pins: Pins;
  readonly #i2c: I2cQueue;
  readonly #gate: FrameGate;
  readonly #audit: PinAudit;
  readonly #supervisor: Supervisor;
  readonly #statusListeners: ((status: BoardStatus) => void)[] = [];
  readonly #refusedBy: Partial<Record<Refusal, number>> = {};
  #unasked = 0;
  #setUpIsDue = false;

  constructor(opener: PortOpener, clock: Clock) {
    this.#io = new firmataIo.Firmata(this.#transport, { reportVersionTimeout: neverMs });
    clearTimeout(this.#io.reportVersionTimeoutId);
    this.#pins = new Pins(makeBoard(this.#io), this.#io, (bytes) => this.#send(bytes));
    this.#i2c = new I2cQueue(
      wireOver(this.#io, (bytes) => this.#send(bytes)),
      clock,
    );
    this.#audit = new PinAudit({
      ordered: () => this.#pins.ordered,
      ask: (bytes) => this.#send(bytes),
      setUpAgain: () => this.#supervisor.setUpAgain(),
      nowMs: () => clock.monotonicMs(),
    });
    this.#supervisor = new Supervisor(opener, this.#asSupervised(), clock);
    this.#gate = new FrameGate(
      this.#expected(),
      (frame) => this.#admit(frame),
      (why, frame) => this.#refuse(why, frame),
    );
  }

  analogInput(pin: string): AnalogInput {
    const input = this.#pins.analogInput(pin);
    this.#setUpSoon();
    return input;
  }

  digitalOutput(pin: number): DigitalOutput {
    const output = this.#pins.digitalOutput(pin);
    this.#setUpSoon();
    return output;
  }

  digitalInput(pin: number, { pullUp }: { readonly pullUp: boolean }): DigitalInput {
    const input = this.#pins.digitalInput(pin, pullUp);
    this.#setUpSoon();
    return input;
  }

  get i2c(): I2cBus {
    return this.#i2c;
  }

  status(): BoardStatus {
    const status = this.#supervisor.status;
    const { complaints } = this.#pins;
    if (status.state !== 'connected' || complaints.length === 0) return status;
    return { ...status, detail: [status.detail, ...complaints].join(' ') };
  }

  onStatus(listener: (status: BoardStatus) => void): void {
    this.#statusListeners.push(listener);
  }

  counters(): BoardCounters {
    return {
      connects: this.#supervisor.connects,
      resets: this.#supervisor.resets,
      refused: Object.values(this.#refusedBy).reduce((sum, count) => sum + count, 0),
      refusedBy: { ...this.#refusedBy },
      i2cUnanswered: this.#i2c.unanswered,
      pinsRepaired: this.#audit.repaired,
    };
  }

  unconfirmedMs(pin: number): number | undefined {
    return this.#audit.unconfirmedMs(pin);
  }

  async close(): Promise<void> {
    this.#audit.stop();
    await this.#supervisor.close();
  }

  #asSupervised(): SupervisedBoard {
    return {
      attach: (port) => this.#attach(port),
      detach: () => this.#detach(),
      takeBytes: (bytes) => this.#gate.take(bytes),
      ask: (bytes) => this.#send(bytes),
      setUp: (identity) => this.#setUp(identity),
      awaitsScans: () => this.#pins.analogChannels.length > 0,
      onStatus: () => {
        for (const listener of this.#statusListeners) listener(this.status());
      },
    };
  }

  #expected(): Expected {
    return {
      isMeasuring: () => this.#supervisor.isRunning,
      analogChannels: () => this.#pins.analogChannels,
      inputBits: (port) => this.#pins.inputBits(port),
      i2cRead: () => this.#i2c.inFlight,
      pinState: () => this.#audit.askedPin,
    };
  }

  #attach(port: BytePort): void {
    this.#gate.reset();
    if (!this.#io.isReady) {
      // The library never finished with this board; what it learned may be of another one.
      this.#io.pins.length = 0;
      this.#io.analogPins.length = 0;
    }
    this.#transport.attach(port);
  }

  #detach(): void {
    this.#transport.detach();
    this.#pins.setAway();
    this.#i2c.setConnected(false);
    this.#audit.setRunning(false);
  }

  #setUp(identity: Identity): void {
    this.#unasked = 0;
    this.#gate.reset();
    this.#pins.setUp(identity);
    this.#i2c.setConnected(true);
    this.#audit.setRunning(true);
  }

  /** A pin was declared while the board was there: once more, for all that are declared in this turn. */
  #setUpSoon(): void {
    if (this.#setUpIsDue || !this.#supervisor.isRunning) return;
    this.#setUpIsDue = true;
    queueMicrotask(() => {
      this.#setUpIsDue = false;
      this.#supervisor.setUpAgain();
    });
  }

  #send(bytes: readonly number[]): void {
    this.#transport.write(Uint8Array.from(bytes));
  }

  #admit(frame: Frame): void {
    if (frame.kind === 'pin-state') this.#audit.take(frame);
    else if (frame.kind === 'echo') this.#i2c.echoCame(frame.mark);
    else if (frame.kind === 'i2c-reply') this.#i2c.replyCame();
    else if (frame.kind === 'text' && /i2c/i.test(frame.text)) this.#i2c.firmwareComplained(frame.text);
    if (this.#isForLibrary(frame)) this.#deliver(frame);
    this.#supervisor.takeFrame(frame);
  }

  /** The library appends a second pin mapping to the first, and takes the state of a pin for an order. */
  #isForLibrary({ kind }: Frame): boolean {
    if (kind === 'capabilities' || kind === 'analog-mapping') return !this.#io.isReady;
    return kind !== 'pin-state' && kind !== 'echo';
  }

  #deliver(frame: Frame): void {
    try {
      this.#transport.deliver(frame.bytes);
    } catch {
      this.#refuse('library-threw');
    }
  }

  #refuse(why: Refusal, frame?: Frame): void {
    this.#refusedBy[why] = (this.#refusedBy[why] ?? 0) + 1;
    this.#i2c.linkDamaged();
    if (why !== 'unasked') return;
    // A damaged order can switch on reports or repeated readings that were not asked for; they would never stop.
    if (frame?.kind === 'i2c-reply') this.#send(stopReading(frame.address));
    this.#unasked += 1;
    if (this.#unasked > mostUnasked) this.#setUpSoon();
  }
}

function makeBoard(io: Firmata): Board {
  const board = new five.Board({ io, repl: false, debug: false, sigint: false, timeout: neverMs });
  board.on('connect', () => clearTimeout(board.timer));
  return board;
}

function wireOver(io: Firmata, send: (bytes: readonly number[]) => void): I2cWire {
  return {
    startRead(address, register, byteCount, onReply) {
      io.i2cReadOnce(address, register, byteCount, onReply);
      return { stop: () => io.removeListener(`I2C-reply-${address}-${register}`, onReply) };
    },
    write: (address, bytes) => io.i2cWrite(address, bytes),
    echo: (mark) => send(question.pinState(mark)),
  };
}
