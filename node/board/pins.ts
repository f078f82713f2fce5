import type { Firmata } from 'firmata-io';
import five, { type Board, type Relay } from 'johnny-five';
import type { AnalogInput } from '../bus/analog-input.js';
import type { DigitalInput, DigitalOutput } from '../bus/digital.js';
import { BoardError } from './board-error.js';
import { firmataCode, pinMode } from './firmata-protocol.js';
import type { Identity, PinMap } from './firmware.js';
import { can, noChannel, pinComplaints } from './pin-complaints.js';
import { samplingIntervalMs } from './sampling-interval.js';

type Output = { relay: Relay | undefined; ordered: boolean };
type Input = {
  readonly pullUp: boolean;
  /** Made to count as no input for a moment; see `coaxInput`. */
  coaxing: boolean;
  level: boolean | undefined;
  readonly listeners: ((high: boolean) => void)[];
};
export type OrderedPin = { readonly pin: number; readonly mode: number; readonly high: boolean | undefined };
type Analog = { readonly listeners: ((counts: number) => void)[] };

/** From this minor version on the firmware reports a port's levels as soon as its reports are switched on. */
const reportsAtOnceSince = 4;
const forgetsAfterMs = 60;
const silenceMeansLowMs = 300;

/**
 * Every pin the node asked for, declared once. Works before the board was ever seen, and sets all of them
 * up again after each handshake and each reset, because the firmware then has forgotten them.
 */
export class Pins {
  readonly #board: Board;
  readonly #io: Firmata;
  readonly #outputs = new Map<number, Output>();
  readonly #inputs = new Map<number, Input>();
  readonly #analogs = new Map<number, Analog>();
  #usableChannels: readonly number[] = [];
  #live = false;
  #complaints: readonly string[] = [];
  /** What was asked of the library once for its life; asking again would double its listeners. */
  readonly #subscribed = new Set<string>();

  readonly #send: (bytes: readonly number[]) => void;
  #later: NodeJS.Timeout[] = [];

  constructor(board: Board, io: Firmata, send: (bytes: readonly number[]) => void) {
    this.#board = board;
    this.#io = io;
    this.#send = send;
  }

  /** Analogue channels that report, ascending. */
  get analogChannels(): readonly number[] {
    return this.#usableChannels;
  }

  /** What the firmware should report of each digital pin in use: its mode, and the level of an output. */
  get ordered(): readonly OrderedPin[] {
    const outputs = [...this.#outputs].flatMap(([pin, { relay, ordered }]) =>
      relay === undefined ? [] : [{ pin, mode: pinMode.output, high: ordered }],
    );
    const inputs = [...this.#inputs].flatMap(([pin, { coaxing }]) => {
      const mode = this.#io.pins[pin]?.mode;
      return mode === undefined || coaxing ? [] : [{ pin, mode, high: undefined }];
    });
    return [...outputs, ...inputs];
  }

  /** Pins the kit asks for and this board does not have, or has once and is asked for twice, in words. */
  get complaints(): readonly string[] {
    return this.#complaints;
  }

  inputBits(port: number): number {
    let bits = 0;
    for (const pin of this.#inputs.keys()) if (pin >> 3 === port) bits |= 1 << (pin & 7);
    return bits;
  }

  analogInput(name: string): AnalogInput {
    const channel = /^A(\d{1,2})$/.exec(name)?.[1];
    if (channel === undefined)
      throw new BoardError('bad-pin', `"${name}" is not an analogue pin such as A0.`);
    const analog = getOrMake(this.#analogs, Number(channel), () => ({ listeners: [] }));
    return {
      fullScaleCounts: 1023,
      onCounts: (listener) => {
        analog.listeners.push(listener);
      },
    };
  }

  digitalInput(pin: number, pullUp: boolean): DigitalInput {
    this.#mustBeFree(pin, this.#outputs, 'an output');
    const input = getOrMake(this.#inputs, pin, () => ({
      pullUp,
      coaxing: false,
      level: undefined,
      listeners: [],
    }));
    return {
      onLevel: (listener) => {
        input.listeners.push(listener);
        if (input.level !== undefined) listener(input.level);
      },
    };
  }

  digitalOutput(pin: number): DigitalOutput {
    this.#mustBeFree(pin, this.#inputs, 'an input');
    const output = getOrMake(this.#outputs, pin, () => ({ relay: undefined, ordered: false }));
    return {
      write: (high) => {
        output.ordered = high;
        if (this.#live) this.#write(pin, output);
      },
    };
  }

  /** Sends the firmware every setting again. Call after a handshake or a reset, with johnny-five's board ready. */
  setUp({ firmware, pinMap: map }: Identity): void {
    this.#cancelLater();
    this.#complaints = pinComplaints(map, {
      analogs: [...this.#analogs.keys()],
      outputs: [...this.#outputs.keys()],
      inputs: [...this.#inputs.keys()],
    });
    this.#usableChannels = [...this.#analogs.keys()]
      .filter((c) => map.channels.includes(c))
      .sort((a, b) => a - b);
    this.#board.samplingInterval(samplingIntervalMs(this.#usableChannels.length));
    this.#board.i2cConfig({ delay: 0 });
    for (const [pin, output] of this.#outputs)
      if (can(map, pin, pinMode.output)) this.#setUpOutput(pin, output);
    for (const [pin, input] of this.#inputs)
      if (can(map, pin, pinMode.input)) {
        if (firmware.protocol.minor >= reportsAtOnceSince) this.#setUpInput(pin, input, map);
        else this.#coaxInput(pin, input, map);
      }
    for (const channel of map.channels.filter((one) => one !== noChannel && !this.#analogs.has(one)))
      this.#io.reportAnalogPin(channel, 0);
    for (const channel of this.#usableChannels) this.#setUpAnalog(channel);
    this.#live = true;
  }

  /** The board is gone: the levels of its inputs are unknown. */
  setAway(): void {
    this.#live = false;
    this.#cancelLater();
    for (const input of this.#inputs.values()) input.level = undefined;
  }

  #setUpOutput(pin: number, output: Output): void {
    this.#io.pinMode(pin, this.#io.MODES.OUTPUT);
    output.relay ??= new five.Relay({ board: this.#board, pin });
    this.#write(pin, output);
  }

  #write(pin: number, output: Output): void {
    this.#keepPullUps(pin >> 3);
    if (output.ordered) output.relay?.close();
    else output.relay?.open();
  }

  /**
   * Old firmware reports a port only when it differs from its last report, which somebody else may have had.
   * So the pin is first made to count as no input, which makes that last report 0; then silence means low.
   */
  #coaxInput(pin: number, input: Input, map: PinMap): void {
    this.#io.reportDigitalPin(pin, 1);
    this.#send([firmataCode.setPinMode, pin, pinMode.analog]);
    input.coaxing = true;
    const assumeLow = () => {
      if (input.level === undefined) this.#takeLevel(input, false);
    };
    this.#later.push(
      setTimeout(() => {
        input.coaxing = false;
        this.#setUpInput(pin, input, map);
        this.#later.push(setTimeout(assumeLow, silenceMeansLowMs));
      }, forgetsAfterMs),
    );
  }

  #takeLevel(input: Input, level: boolean): void {
    if (input.level === level) return;
    input.level = level;
    for (const listener of input.listeners) listener(level);
  }

  #cancelLater(): void {
    for (const timer of this.#later.splice(0)) clearTimeout(timer);
  }

  #setUpInput(pin: number, input: Input, map: PinMap): void {
    const hasPullUpMode = can(map, pin, pinMode.pullUp);
    this.#io.pinMode(pin, input.pullUp && hasPullUpMode ? this.#io.MODES.PULLUP : this.#io.MODES.INPUT);
    // Before protocol 2.5 a pull-up is switched on by writing high to an input.
    if (input.pullUp && !hasPullUpMode) this.#board.digitalWrite(pin, 1);
    this.#subscribeOnce(`digital ${pin}`, () =>
      this.#board.digitalRead(pin, (value) => {
        this.#takeLevel(input, value === 1);
      }),
    );
    this.#io.reportDigitalPin(pin, 1);
  }

  #setUpAnalog(channel: number): void {
    const listeners = this.#analogs.get(channel)?.listeners ?? [];
    this.#subscribeOnce(`analog ${channel}`, () =>
      this.#board.analogRead(channel, (counts) => {
        for (const listener of listeners) listener(counts);
      }),
    );
    this.#io.reportAnalogPin(channel, 1);
  }

  #subscribeOnce(what: string, subscribe: () => void): void {
    if (this.#subscribed.has(what)) return;
    this.#subscribed.add(what);
    subscribe();
  }

  /** A write goes to eight pins at once, and old firmware takes a 0 on an input as "pull-up off". */
  #keepPullUps(port: number): void {
    for (const [pin, { pullUp }] of this.#inputs) {
      if (pin >> 3 !== port) continue;
      const bit = 1 << (pin & 7);
      const levels = this.#io.ports[port] ?? 0;
      this.#io.ports[port] = pullUp ? levels | bit : levels & ~bit;
    }
  }

  #mustBeFree(pin: number, others: ReadonlyMap<number, unknown>, use: string): void {
    if (others.has(pin))
      throw new BoardError('bad-pin', `Pin ${pin} is already ${use}. Give each pin one use.`);
  }
}

function getOrMake<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const found = map.get(key);
  if (found !== undefined) return found;
  const made = make();
  map.set(key, made);
  return made;
}
