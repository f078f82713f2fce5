import type { BytePort, PortOpener } from '../../../node/board/byte-port.js';

/** A line to a board whose other end is the test: records what was written, sends what it is given, and closes on demand. */
export class ScriptedPort implements BytePort {
  readonly label: string;
  readonly written: number[][] = [];
  closed = false;
  /** What the board at the other end says to a message of ours. */
  answer: ((message: readonly number[]) => readonly (readonly number[])[]) | undefined;
  #listener: (bytes: Uint8Array) => void = () => {};
  #end: (why: string) => void = () => {};

  constructor(label = 'scripted') {
    this.label = label;
  }

  write(bytes: Uint8Array): void {
    this.written.push([...bytes]);
    for (const message of this.answer?.([...bytes]) ?? []) this.says(message);
  }
  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#listener = listener;
  }
  onClosed(listener: (why: string) => void): void {
    this.#end = listener;
  }
  async close(): Promise<void> {
    this.closed = true;
  }

  says(bytes: readonly number[]): void {
    this.#listener(Uint8Array.from(bytes));
  }
  breaks(why: string): void {
    this.#end(why);
  }
}

/** Opens the ports it was given, in order; an error means a port that cannot be opened. The last one is repeated. */
export class ScriptedOpener implements PortOpener {
  readonly label = 'the test';
  readonly openedAtMs: number[] = [];
  readonly carried: string[] = [];
  readonly #next: (ScriptedPort | Error)[];

  constructor(...next: (ScriptedPort | Error)[]) {
    this.#next = next;
  }

  async open(): Promise<BytePort> {
    this.openedAtMs.push(Date.now());
    const next = this.#next.length > 1 ? this.#next.shift() : this.#next[0];
    if (next instanceof ScriptedPort) return next;
    throw next ?? new Error('nothing to open');
  }
  carriesFirmware(label: string): void {
    this.carried.push(label);
  }
}

/** Messages of Firmata protocol 2, restated from its published protocol.md. */
export const version = (minor: number) => [0xf9, 2, minor];
export const firmware = (minor = 5) => [
  ...[0xf0, 0x79, 2, minor],
  ...[...Buffer.from('StandardFirmata.ino')].flatMap((letter) => [letter, 0]),
  0xf7,
];
/** Every pin: input, output, pull-up; the last two of a board also 10-bit analogue. */
export const capabilities = (pins: number) => [
  ...[0xf0, 0x6c],
  ...Array.from({ length: pins }, (_, pin) => [
    0,
    1,
    1,
    1,
    0x0b,
    1,
    ...(pin >= pins - 2 ? [2, 10] : []),
    0x7f,
  ]).flat(),
  0xf7,
];
export const mapping = (pins: number) => [
  ...[0xf0, 0x6a],
  ...Array.from({ length: pins }, (_, pin) => (pin >= pins - 2 ? pin - pins + 2 : 0x7f)),
  0xf7,
];
export const analogReport = (channel: number, counts: number) => [0xe0 | channel, counts & 0x7f, counts >> 7];

/** A board that answers the four questions of the handshake. */
export const answersAs =
  (pins: number) =>
  (message: readonly number[]): readonly (readonly number[])[] => {
    if (message[0] === 0xf9) return [version(5)];
    if (message[0] !== 0xf0) return [];
    if (message[1] === 0x79) return [firmware()];
    if (message[1] === 0x6b) return [capabilities(pins)];
    return message[1] === 0x69 ? [mapping(pins)] : [];
  };
