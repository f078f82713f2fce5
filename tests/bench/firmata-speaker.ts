import type { Outside } from '../../node/bench/board/emulation.js';

/** Stock firmware's numbers, restated from the published Firmata protocol and from its 2.5 sketch's behaviour. */
const stale = 'I2C: Too few bytes received';
const pinCount = 20;
const firstAnalogPin = 14;
const mode = { input: 0, output: 1, analog: 2, pwm: 3, servo: 4, i2c: 6, pullUp: 11 } as const;
const pwmPins = [3, 5, 6, 9, 10, 11];

const pair = (byte: number) => [byte & 0x7f, (byte >> 7) & 0x7f];
const sysex = (...body: number[]) => [0xf0, ...body, 0xf7];

/**
 * What the stock firmware says and does on its serial line, without the processor beneath it: thousands of
 * times faster than the emulated board, for campaigns of a hundred thousand cases. A test holds its answers
 * against those of the real binary.
 */
export class FirmataSpeaker {
  readonly #outside: Outside;
  readonly #send: (bytes: number[]) => void;
  #modes: number[] = [];
  #levels: number[] = [];
  #analogReports = 0;
  #digitalReports = 0;
  #lastPorts: number[] = [];
  #samplingMs = 19;
  #sinceSampleMs = 0;
  #continuous: { address: number; register: number; count: number }[] = [];
  #i2cBytes: number[] = Array(32).fill(0);
  #nowS = 0;
  // The parser of the Firmata library, byte by byte.
  #sysex: number[] | undefined;
  #command = 0;
  #channel = 0;
  #waitFor = 0;
  #stored: number[] = [];

  constructor(outside: Outside, send: (bytes: number[]) => void) {
    this.#outside = outside;
    this.#send = send;
    this.#reset();
  }

  receive(bytes: Uint8Array): void {
    for (const byte of bytes) this.#take(byte);
  }

  advance(ms: number): void {
    this.#nowS += ms / 1000;
    this.#outside.advance(ms / 1000, this.#nowS);
    for (let port = 0; port < 3; port++)
      if (this.#digitalReports & (1 << port)) this.#reportPort(port, false);
    this.#sinceSampleMs += ms;
    if (this.#sinceSampleMs < this.#samplingMs) return;
    this.#sinceSampleMs = 0;
    for (let channel = 0; channel < 6; channel++)
      if (this.#analogReports & (1 << channel) && this.#modes[firstAnalogPin + channel] === mode.analog)
        this.#reportAnalog(channel);
    for (const { address, register, count } of this.#continuous) this.#readI2c(address, register, count);
  }

  #reset(): void {
    this.#modes = Array.from({ length: pinCount }, (_, pin) =>
      pin < firstAnalogPin ? mode.output : mode.analog,
    );
    for (let pin = 0; pin < pinCount; pin++)
      if (this.#levels[pin]) this.#outside.onOutput(pin, false, this.#nowS);
    this.#levels = Array(pinCount).fill(0);
    this.#lastPorts = [0, 0, 0];
    this.#analogReports = 0;
    this.#digitalReports = 0;
    this.#continuous = [];
  }

  #take(byte: number): void {
    if (this.#sysex !== undefined) {
      if (byte !== 0xf7) {
        if (this.#sysex.length < 64) this.#sysex.push(byte);
        return;
      }
      const body = this.#sysex;
      this.#sysex = undefined;
      this.#obeySysex(body);
    } else if (this.#waitFor > 0 && byte < 128) {
      this.#waitFor -= 1;
      this.#stored.push(byte);
      if (this.#waitFor === 0) this.#applyCommand();
    } else this.#begin(byte);
  }

  #begin(byte: number): void {
    const command = byte < 0xf0 ? byte & 0xf0 : byte;
    this.#channel = byte & 0x0f;
    this.#stored = [];
    this.#command = command;
    if (command === 0xe0 || command === 0x90 || command === 0xf4) this.#waitFor = 2;
    else if (command === 0xc0 || command === 0xd0) this.#waitFor = 1;
    else if (command === 0xf0) this.#sysex = [];
    else if (command === 0xff) this.#reset();
    else if (command === 0xf9) this.#send([0xf9, 2, 5]);
  }

  #applyCommand(): void {
    const [first = 0, second = 0] = this.#stored;
    if (this.#command === 0x90) this.#writePort(this.#channel, first | (second << 7));
    else if (this.#command === 0xf4) this.#setMode(first, second);
    else if (this.#command === 0xc0) {
      const bit = 1 << this.#channel;
      this.#analogReports = first ? this.#analogReports | bit : this.#analogReports & ~bit;
      if (first && this.#channel < 6) this.#reportAnalog(this.#channel);
    } else if (this.#command === 0xd0 && this.#channel < 3) {
      const bit = 1 << this.#channel;
      this.#digitalReports = first ? this.#digitalReports | bit : this.#digitalReports & ~bit;
      if (first) this.#reportPort(this.#channel, true);
    }
  }

  #setMode(pin: number, wanted: number): void {
    if (pin >= pinCount || !this.#modesOf(pin).some(([one]) => one === wanted)) return;
    this.#modes[pin] = wanted;
    if (wanted === mode.pullUp) this.#levels[pin] = 1;
  }

  #writePort(port: number, levels: number): void {
    for (let bit = 0; bit < 8; bit++) {
      const pin = port * 8 + bit;
      if (pin >= pinCount || this.#modes[pin] !== mode.output) continue;
      const level = (levels >> bit) & 1;
      if (level !== this.#levels[pin]) this.#outside.onOutput(pin, level === 1, this.#nowS);
      this.#levels[pin] = level;
    }
  }

  #reportAnalog(channel: number): void {
    const counts = Math.floor(this.#outside.analogCounts(channel, this.#nowS) ?? 0);
    this.#send([0xe0 | channel, ...pair(Math.min(Math.max(counts, 0), 1023))]);
  }

  #reportPort(port: number, force: boolean): void {
    let levels = 0;
    for (let bit = 0; bit < 8; bit++) {
      const pin = port * 8 + bit;
      const isInput = this.#modes[pin] === mode.input || this.#modes[pin] === mode.pullUp;
      const free = this.#modes[pin] === mode.pullUp;
      if (isInput && (this.#outside.inputLevel(pin, this.#nowS) ?? free)) levels |= 1 << bit;
    }
    if (!force && levels === this.#lastPorts[port]) return;
    this.#lastPorts[port] = levels;
    this.#send([0x90 | port, ...pair(levels)]);
  }

  #obeySysex([command = 0, ...body]: number[]): void {
    const at = (index: number) => (body[index] ?? 0) | ((body[index + 1] ?? 0) << 7);
    switch (command) {
      case 0x79:
        this.#send(sysex(0x79, 2, 5, ...[...Buffer.from('StandardFirmata.ino')].flatMap(pair)));
        break;
      case 0x6b:
        this.#send(
          sysex(
            0x6c,
            ...Array.from({ length: pinCount }, (_, pin) => [...this.#modesOf(pin).flat(), 0x7f]).flat(),
          ),
        );
        break;
      case 0x69:
        this.#send(
          sysex(
            0x6a,
            ...Array.from({ length: pinCount }, (_, pin) =>
              pin < firstAnalogPin ? 127 : pin - firstAnalogPin,
            ),
          ),
        );
        break;
      case 0x6d: {
        const pin = body[0] ?? 0;
        const known = pin < pinCount ? [this.#modes[pin] ?? 0, this.#levels[pin] ?? 0] : [];
        this.#send(sysex(0x6e, pin & 0x7f, ...known));
        break;
      }
      case 0x7a:
        if (body.length > 1) this.#samplingMs = Math.max(at(0), 1);
        break;
      case 0x76:
        this.#obeyI2c(body, at);
        break;
    }
  }

  #obeyI2c(body: number[], at: (index: number) => number): void {
    const [address = 0, flags = 0] = body;
    const register = body.length === 6 ? at(2) : -1;
    const count = Math.min(body.length === 6 ? at(4) : at(2), 32);
    switch (flags & 0x18) {
      case 0x00: {
        const chips = this.#chipsAt(address, true);
        for (let i = 2; i < body.length; i += 2) for (const chip of chips) chip.write(at(i) & 0xff);
        for (const chip of chips) chip.end();
        break;
      }
      case 0x08:
        this.#readI2c(address, register, count);
        break;
      case 0x10:
        if (this.#continuous.length < 8) this.#continuous.push({ address, register, count });
        break;
      case 0x18:
        this.#continuous =
          this.#continuous.length <= 1 ? [] : this.#continuous.filter((query) => query.address !== address);
        break;
    }
  }

  #readI2c(address: number, register: number, count: number): void {
    if (register >= 0) for (const chip of this.#chipsAt(address, true)) chip.write(register & 0xff);
    const [chip] = this.#chipsAt(address, false);
    if (chip === undefined) this.#send(sysex(0x71, ...[...Buffer.from(stale)].flatMap(pair)));
    else for (let i = 0; i < count; i++) this.#i2cBytes[i] = chip.read();
    const head = [...pair(address), ...pair(Math.max(register, 0))];
    this.#send(sysex(0x77, ...head, ...this.#i2cBytes.slice(0, count).flatMap(pair)));
  }

  #chipsAt(address: number, write: boolean) {
    return this.#outside.chips().filter((chip) => chip.address === address && chip.begin(write, this.#nowS));
  }

  #modesOf(pin: number): [number, number][] {
    if (pin < 2) return [];
    const digital: [number, number][] = [
      [mode.input, 1],
      [mode.pullUp, 1],
      [mode.output, 1],
    ];
    if (pwmPins.includes(pin)) digital.push([mode.pwm, 8]);
    if (pin >= firstAnalogPin) digital.push([mode.analog, 10]);
    digital.push([mode.servo, 14]);
    if (pin >= 18) digital.push([mode.i2c, 1]);
    return digital;
  }
}
