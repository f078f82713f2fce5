import { pinMode } from './firmata-protocol.js';
import { type Frame, FrameCutter, type FrameFault } from './frames.js';

export type Refusal =
  | FrameFault
  | 'impossible-value'
  | 'unasked'
  | 'broken-scan'
  /** The Firmata library threw on a message the gate let through. */
  | 'library-threw';

/** What the board can send at this moment; the gate checks every message against it. */
export interface Expected {
  /** False until the firmware is known and the pins are set up: measurements before that cannot be used. */
  isMeasuring(): boolean;
  /** Channels that report, ascending: the firmware sends them in this order, without a gap, every interval. */
  analogChannels(): readonly number[];
  /** Bits of a port's pins that were set up as inputs; the firmware reports the others as 0. */
  inputBits(port: number): number;
  i2cRead(): ExpectedRead | undefined;
  /** The pin whose state was asked for. */
  pinState(): number | undefined;
}

export type ExpectedRead = {
  readonly address: number;
  readonly register: number;
  readonly byteCount: number;
  /** The firmware has complained: the stale bytes that follow may bear any address (0 on version 2.3). */
  readonly isVoid: boolean;
};

/** The stock firmware's converter has 10 bits. */
const highestCounts = 1023;
const scansToSettle = 3;

/**
 * Checks every message from the wire before anything uses it. Firmata has no checksum, so a message
 * must have been expected, in its place, in its length and in its range; all else is counted and dropped.
 */
export class FrameGate {
  readonly #cutter: FrameCutter;
  readonly #expected: Expected;
  readonly #admit: (frame: Frame) => void;
  readonly #refuse: (why: Refusal, frame?: Frame) => void;
  #scan: Frame[] = [];
  #wholeScans = 0;

  constructor(
    expected: Expected,
    admit: (frame: Frame) => void,
    refuse: (why: Refusal, frame?: Frame) => void,
  ) {
    this.#expected = expected;
    this.#admit = admit;
    this.#refuse = refuse;
    this.#cutter = new FrameCutter(
      (frame) => this.#judge(frame),
      (fault) => {
        this.#breakScan();
        // A port opened in the middle of a message begins with its rest.
        if (fault !== 'stray-byte' || expected.isMeasuring()) refuse(fault);
      },
    );
  }

  take(chunk: Uint8Array): void {
    this.#cutter.take(chunk);
  }

  /** The port or the set of channels changed: half a message or half a scan from before means nothing. */
  reset(): void {
    this.#cutter.reset();
    this.#scan = [];
    this.#wholeScans = 0;
  }

  #judge(frame: Frame): void {
    // A board that kept its power keeps reporting after the port is opened: no damage, and no answer to us.
    if (isMeasurement(frame) && !this.#expected.isMeasuring()) return;
    const objection = this.#objection(frame);
    if (frame.kind === 'analog' && objection === undefined) {
      this.#addToScan(frame);
      return;
    }
    this.#breakScan();
    if (objection === undefined) this.#admit(frame);
    else this.#refuse(objection, frame);
  }

  #objection(frame: Frame): Refusal | undefined {
    switch (frame.kind) {
      case 'analog':
        if (!this.#expected.analogChannels().includes(frame.channel)) return 'unasked';
        return frame.counts > highestCounts ? 'impossible-value' : undefined;
      case 'digital': {
        const inputs = this.#expected.inputBits(frame.port);
        if (inputs === 0) return 'unasked';
        return (frame.levels & ~inputs) !== 0 ? 'impossible-value' : undefined;
      }
      case 'i2c-reply': {
        const { address, register, data } = frame;
        const asked = this.#expected.i2cRead();
        if (asked?.isVoid) return undefined;
        if (address !== asked?.address || register !== asked.register) return 'unasked';
        return data.length === asked.byteCount ? undefined : 'malformed';
      }
      case 'pin-state':
        return frame.pin === this.#expected.pinState() ? undefined : 'unasked';
      case 'capabilities':
        return frame.pins.some((pin) => pin.has(pinMode.output)) ? undefined : 'malformed';
      case 'analog-mapping':
        return isMapping(frame.channels) ? undefined : 'malformed';
      case 'echo':
      case 'version':
      case 'firmware':
      case 'text':
        return undefined;
    }
  }

  /** Holds reports back until every channel has reported in turn, so that a damaged channel number is noticed. */
  #addToScan(frame: Frame & { kind: 'analog' }): void {
    const channels = this.#expected.analogChannels();
    if (frame.channel !== channels[this.#scan.length]) {
      this.#breakScan();
      if (frame.channel !== channels[0]) {
        if (this.#isSettled) this.#refuse('broken-scan');
        return;
      }
    }
    this.#scan.push(frame);
    if (this.#scan.length < channels.length) return;
    const whole = this.#scan;
    this.#scan = [];
    this.#wholeScans += 1;
    for (const report of whole) this.#admit(report);
  }

  /** At first the firmware sends single reports out of turn, one as each pin is switched on: no damage. */
  get #isSettled(): boolean {
    return this.#wholeScans >= scansToSettle;
  }

  #breakScan(): void {
    if (this.#scan.length > 0 && this.#isSettled) for (const _ of this.#scan) this.#refuse('broken-scan');
    this.#scan = [];
  }
}

const isMeasurement = ({ kind }: Frame): boolean => kind === 'analog' || kind === 'digital';

/** Channels must count up from 0 over the pins that have one; 127 marks a pin without. */
function isMapping(channels: readonly number[]): boolean {
  const used = channels.filter((channel) => channel !== 127);
  return used.length > 0 && used.every((channel, index) => channel === index);
}
