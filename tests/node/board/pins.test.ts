import firmataIo from 'firmata-io';
import five from 'johnny-five';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { BoardError } from '../../../node/board/board-error.js';
import { parseFrame } from '../../../node/board/frames.js';
import { Pins } from '../../../node/board/pins.js';
import { StableTransport } from '../../../node/board/transport.js';
import { analogReport, capabilities, firmware, mapping, ScriptedPort, version } from './scripted-port.js';

/** Firmata protocol 2, restated: modes, and the messages that order a pin about. */
const mode = { input: 0, output: 1, analog: 2, pullUp: 0x0b };
const setMode = (pin: number, to: number) => [0xf4, pin, to];
const reportPort = (port: number, on: number) => [0xd0 | port, on];
const reportAnalog = (channel: number, on: number) => [0xc0 | channel, on];
const portLevels = (port: number, bits: number) => [0x90 | port, bits & 0x7f, bits >> 7];
const samplingInterval = (ms: number) => [0xf0, 0x7a, ms & 0x7f, ms >> 7, 0xf7];
const neverMs = 2 ** 31 - 1;
/** A board of ten pins, of which 8 and 9 carry the channels A0 and A1. */
const pinCount = 10;

const identity = (minor = 5) => {
  const [pins, channels] = [parseFrame(capabilities(pinCount)), parseFrame(mapping(pinCount))];
  if (pins?.kind !== 'capabilities' || channels?.kind !== 'analog-mapping') throw new Error('no pin map');
  const named = { name: 'StandardFirmata.ino', version: { major: 2, minor }, protocol: { major: 2, minor } };
  return { firmware: named, pinMap: { pins: pins.pins, channels: channels.channels } };
};

/** The pins over the real libraries, as the node has them, and a scripted port beneath. */
const overScriptedPort = async () => {
  const port = new ScriptedPort();
  const transport = new StableTransport();
  const io = new firmataIo.Firmata(transport, { reportVersionTimeout: neverMs });
  clearTimeout(io.reportVersionTimeoutId);
  const board = new five.Board({ io, repl: false, debug: false, sigint: false, timeout: neverMs });
  board.on('connect', () => clearTimeout(board.timer));
  transport.attach(port);
  for (const message of [version(5), firmware(), capabilities(pinCount), mapping(pinCount)]) {
    transport.deliver(message);
    await Promise.resolve();
  }
  await vi.waitUntil(() => board.isReady, { timeout: 20_000 });
  const pins = new Pins(board, io, (bytes) => transport.write(Uint8Array.from(bytes)));
  /** Everything written since the last look, byte by byte in order. */
  const written = async () => {
    await Promise.resolve();
    await Promise.resolve();
    return port.written.splice(0).flat();
  };
  await written();
  return { pins, written, says: (message: readonly number[]) => transport.deliver(message) };
};

/** Whether one message is whole among the bytes. */
const holds = (bytes: readonly number[], message: readonly number[]): boolean =>
  ` ${bytes.join(' ')} `.includes(` ${message.join(' ')} `);

afterEach(() => {
  vi.useRealTimers();
});

describe('pins declared before a board was seen', () => {
  it('are ordered by one set-up: modes, levels, reports, and the reports of channels that are not in use off', async () => {
    const { pins, written } = await overScriptedPort();
    pins.digitalOutput(4).write(true);
    pins.digitalInput(2, true);
    pins.analogInput('A1');
    expect(await written()).toEqual([]);
    pins.setUp(identity());
    const bytes = await written();
    for (const message of [
      setMode(4, mode.output),
      setMode(2, mode.pullUp),
      reportPort(0, 1),
      reportAnalog(1, 1),
      reportAnalog(0, 0),
      samplingInterval(10),
    ])
      expect(holds(bytes, message), message.join(' ')).toBe(true);
    // Pin 4 high; pin 2 shares its port and must keep its pull-up, which is a 1 in the same message.
    expect(holds(bytes, portLevels(0, 0b1_0100))).toBe(true);
    expect(pins.analogChannels).toEqual([1]);
    expect(pins.complaints).toEqual([]);
  });

  it('are all ordered again, the level of an output included, after the firmware forgot them', async () => {
    const { pins, written } = await overScriptedPort();
    const buzzer = pins.digitalOutput(4);
    pins.setUp(identity());
    await written();
    pins.setAway();
    buzzer.write(true);
    expect(await written()).toEqual([]);
    pins.setUp(identity());
    const bytes = await written();
    expect(holds(bytes, setMode(4, mode.output))).toBe(true);
    expect(holds(bytes, portLevels(0, 0b1_0000))).toBe(true);
    expect(pins.ordered).toEqual([{ pin: 4, mode: mode.output, high: true }]);
  });

  it('that this board does not have are named one by one, and the others are set up', async () => {
    const { pins, written } = await overScriptedPort();
    pins.digitalOutput(4);
    pins.digitalOutput(44);
    pins.digitalInput(53, false);
    pins.analogInput('A9');
    pins.setUp(identity());
    expect(pins.complaints).toEqual([
      'This board has no pin A9 (analogue); correct the pin in the kit file.',
      'This board has no pin 44 (output); correct the pin in the kit file.',
      'This board has no pin 53 (input); correct the pin in the kit file.',
    ]);
    expect(pins.analogChannels).toEqual([]);
    expect(holds(await written(), setMode(4, mode.output))).toBe(true);
  });

  it('an output on a pin that carries the analogue channel of a probe is named', async () => {
    const { pins } = await overScriptedPort();
    pins.analogInput('A1');
    pins.digitalOutput(9);
    pins.digitalOutput(8);
    pins.setUp(identity());
    expect(pins.complaints).toEqual([
      'Pin 9 of this board is A1, which a probe is on; correct the pin in the kit file.',
    ]);
  });
});

describe('what the board reports', () => {
  it('counts go to every listener of the channel, also those who came after the set-up, each once', async () => {
    const { pins, says } = await overScriptedPort();
    const counted: string[] = [];
    const input = pins.analogInput('A0');
    input.onCounts((counts) => counted.push(`first ${counts}`));
    pins.setUp(identity());
    pins.setUp(identity());
    input.onCounts((counts) => counted.push(`second ${counts}`));
    says(analogReport(0, 417));
    expect(counted).toEqual(['first 417', 'second 417']);
  });

  it('a level is passed on when it changes; once the board is disconnected it counts as unknown', async () => {
    const { pins, says } = await overScriptedPort();
    const levels: boolean[] = [];
    const input = pins.digitalInput(2, false);
    input.onLevel((high) => levels.push(high));
    pins.setUp(identity());
    says(portLevels(0, 0b100));
    says(portLevels(0, 0b100));
    says(portLevels(0, 0));
    expect(levels).toEqual([true, false]);
    pins.setAway();
    const late: boolean[] = [];
    input.onLevel((high) => late.push(high));
    expect(late).toEqual([]);
  });

  it('firmware before 2.4 is made to report an input: first no input, then input; its silence then means low', async () => {
    const { pins, written } = await overScriptedPort();
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const levels: boolean[] = [];
    pins.digitalInput(2, false).onLevel((high) => levels.push(high));
    pins.setUp(identity(3));
    const first = await written();
    expect(holds(first, setMode(2, mode.analog))).toBe(true);
    expect(holds(first, setMode(2, mode.input))).toBe(false);
    // While it counts as no input, an audit must not take that for a fault.
    expect(pins.ordered).toEqual([]);
    vi.advanceTimersByTime(100);
    expect(holds(await written(), setMode(2, mode.input))).toBe(true);
    expect(levels).toEqual([]);
    vi.advanceTimersByTime(400);
    expect(levels).toEqual([false]);
  });
});

describe('one pin, one use', () => {
  it('an output that is wanted as an input, an input as an output, and a name that is no pin are refused', async () => {
    const { pins } = await overScriptedPort();
    pins.digitalOutput(4);
    pins.digitalInput(2, true);
    expect(() => pins.digitalInput(4, false)).toThrow(BoardError);
    expect(() => pins.digitalOutput(2)).toThrow('Pin 2 is already an input. Give each pin one use.');
    expect(() => pins.analogInput('7')).toThrow('"7" is not an analogue pin such as A0.');
  });
});
