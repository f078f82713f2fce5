import { firmataCode } from './firmata-protocol.js';

/** One whole message from the firmware, well formed; the gate checks whether it is expected now. */
export type Frame = { readonly bytes: readonly number[] } & (
  | { readonly kind: 'analog'; readonly channel: number; readonly counts: number }
  | { readonly kind: 'digital'; readonly port: number; readonly levels: number }
  | { readonly kind: 'version'; readonly major: number; readonly minor: number }
  | { readonly kind: 'firmware'; readonly name: string; readonly major: number; readonly minor: number }
  | { readonly kind: 'capabilities'; readonly pins: readonly PinCapabilities[] }
  | { readonly kind: 'analog-mapping'; readonly channels: readonly number[] }
  | { readonly kind: 'pin-state'; readonly pin: number; readonly mode: number; readonly state: number }
  /** The answer for a pin that the board does not have: its number, and nothing more. */
  | { readonly kind: 'echo'; readonly mark: number }
  | {
      readonly kind: 'i2c-reply';
      readonly address: number;
      readonly register: number;
      readonly data: readonly number[];
    }
  | { readonly kind: 'text'; readonly text: string }
);

/** Bits of resolution by pin mode. */
export type PinCapabilities = ReadonlyMap<number, number>;

/** Why bytes were not taken for a message. */
export type FrameFault = 'stray-byte' | 'cut-short' | 'unknown-message' | 'too-long' | 'malformed';

/** A Mega's capabilities take about 700 bytes; no message of stock firmware is longer. */
const longestMessage = 1200;

/** Cuts the byte stream into messages. Holds at most one unfinished message. */
export class FrameCutter {
  #pending: number[] = [];
  readonly #onFrame: (frame: Frame) => void;
  readonly #onFault: (fault: FrameFault, byteCount: number) => void;

  constructor(onFrame: (frame: Frame) => void, onFault: (fault: FrameFault, byteCount: number) => void) {
    this.#onFrame = onFrame;
    this.#onFault = onFault;
  }

  take(chunk: Uint8Array): void {
    for (const byte of chunk) this.#takeByte(byte);
  }

  /** Forgets an unfinished message: the port beneath is a new one. */
  reset(): void {
    this.#pending = [];
  }

  #takeByte(byte: number): void {
    const first = this.#pending[0];
    if (first === undefined) {
      if (byte < 0x80) this.#onFault('stray-byte', 1);
      else if (startsMessage(byte)) this.#pending.push(byte);
      else this.#onFault('unknown-message', 1);
      return;
    }
    const endsSysex = first === firmataCode.startSysex && byte === firmataCode.endSysex;
    if (byte >= 0x80 && !endsSysex) {
      // A new message began inside the old one: some byte of the old one was lost or damaged.
      this.#onFault('cut-short', this.#pending.length);
      this.#pending = [];
      this.#takeByte(byte);
      return;
    }
    this.#pending.push(byte);
    if (first === firmataCode.startSysex ? endsSysex : this.#pending.length === 3) this.#finish();
    else if (this.#pending.length > longestMessage) {
      this.#onFault('too-long', this.#pending.length);
      this.#pending = [];
    }
  }

  #finish(): void {
    const bytes = this.#pending;
    this.#pending = [];
    const frame = parseFrame(bytes);
    if (frame === undefined) this.#onFault('malformed', bytes.length);
    else this.#onFrame(frame);
  }
}

function startsMessage(byte: number): boolean {
  const command = byte & 0xf0;
  return (
    command === firmataCode.analogMessage ||
    command === firmataCode.digitalMessage ||
    byte === firmataCode.startSysex ||
    byte === firmataCode.reportVersion
  );
}

/** Reads one whole message; undefined where its length or its bytes cannot belong to any. */
export function parseFrame(bytes: readonly number[]): Frame | undefined {
  const [first = 0, second = 0, third = 0] = bytes;
  if (first === firmataCode.reportVersion) return { kind: 'version', major: second, minor: third, bytes };
  const command = first & 0xf0;
  if (command === firmataCode.analogMessage)
    return { kind: 'analog', channel: first & 0x0f, counts: second | (third << 7), bytes };
  if (command === firmataCode.digitalMessage)
    return { kind: 'digital', port: first & 0x0f, levels: second | (third << 7), bytes };
  return parseSysex(second, bytes.slice(2, -1), bytes);
}

function parseSysex(command: number, body: readonly number[], bytes: readonly number[]): Frame | undefined {
  switch (command) {
    case firmataCode.firmware: {
      const [major, minor, ...letters] = body;
      const name = fromPairs(letters);
      if (major === undefined || minor === undefined || name === undefined) return undefined;
      return { kind: 'firmware', major, minor, name: String.fromCharCode(...name), bytes };
    }
    case firmataCode.text: {
      const text = fromPairs(body);
      return text && { kind: 'text', text: String.fromCharCode(...text), bytes };
    }
    case firmataCode.i2cReply: {
      const [address, register, ...data] = fromPairs(body) ?? [];
      if (address === undefined || register === undefined) return undefined;
      return { kind: 'i2c-reply', address, register, data, bytes };
    }
    case firmataCode.capabilityResponse: {
      const pins = parseCapabilities(body);
      return pins && { kind: 'capabilities', pins, bytes };
    }
    case firmataCode.analogMappingResponse:
      return { kind: 'analog-mapping', channels: body, bytes };
    case firmataCode.pinStateResponse: {
      const [pin, mode, ...chunks] = body;
      if (pin !== undefined && mode === undefined) return { kind: 'echo', mark: pin, bytes };
      if (pin === undefined || mode === undefined || chunks.length === 0) return undefined;
      const state = chunks.reduce((sum, chunk, index) => sum + chunk * 2 ** (7 * index), 0);
      return { kind: 'pin-state', pin, mode, state, bytes };
    }
    default:
      return undefined;
  }
}

/** Firmata sends a byte as two: its low seven bits, then its top bit. Undefined where that cannot be. */
function fromPairs(body: readonly number[]): number[] | undefined {
  if (body.length % 2 !== 0) return undefined;
  const values: number[] = [];
  for (let i = 0; i < body.length; i += 2) {
    const high = body[i + 1] ?? 0;
    if (high > 1) return undefined;
    values.push((body[i] ?? 0) | (high << 7));
  }
  return values;
}

/** Pairs of mode and resolution for each pin, each pin closed by 0x7f. */
function parseCapabilities(body: readonly number[]): PinCapabilities[] | undefined {
  if (body.length === 0 || body.at(-1) !== 0x7f) return undefined;
  const pins: PinCapabilities[] = [];
  let modes = new Map<number, number>();
  for (let i = 0; i < body.length; ) {
    const mode = body[i] ?? 0;
    if (mode === 0x7f) {
      pins.push(modes);
      modes = new Map();
      i += 1;
      continue;
    }
    const resolutionBits = body[i + 1] ?? 0x7f;
    if (resolutionBits > 32 || modes.has(mode)) return undefined;
    modes.set(mode, resolutionBits);
    i += 2;
  }
  return pins;
}
