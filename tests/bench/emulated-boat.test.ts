import { beforeAll, describe, expect, it } from 'vitest';
import { BenchBoat } from '../../node/bench/bench-boat.js';
import { act, type Bench } from '../../node/bench/control/act.js';
import type { Action } from '../../node/bench/control/actions.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { Plant } from '../../node/bench/plant/plant.js';
import { parseKit } from '../../node/kit/load-kit.js';
import { SteppedBoard } from './stepped-board.js';

/** Firmata 2.x as published; restated on purpose. */
const sysex = 0xf0;
const endSysex = 0xf7;
const i2cRequest = 0x76;
const i2cReply = 0x77;
const i2cConfig = 0x78;
const text = 0x71;

const noCable = {
  pluggedIn: true,
  clientConnected: true,
  plug: async () => {},
  unplug: async () => {},
};

/** The bench boat behind real firmware, spoken to in bare Firmata. */
class Conversation {
  readonly boat = new BenchBoat(parseKit(benchKitYaml, 'bench kit'), new Plant(), { exact: true });
  readonly board = new SteppedBoard({ outside: this.boat });
  readonly bench: Bench = { boat: this.boat, emulation: this.board.emulation, port: noCable };
  bytes: number[] = [];

  /** Waits for the greeting after power-on or reset, and switches the two-wire bus on. */
  async untilGreeted(): Promise<void> {
    this.bytes = [];
    this.board.emulation.line.open((more) => this.bytes.push(...more));
    await this.board.advanceUntil(() => this.bytes.includes(endSysex), 4);
    this.say(sysex, i2cConfig, 0, 0, endSysex);
  }

  do(action: Action): Promise<string> {
    return act(this.bench, action);
  }

  say(...bytes: number[]): void {
    this.board.emulation.line.fromComputer(Uint8Array.from(bytes));
  }

  /** Reads once, and gives the data bytes of the reply, or undefined when none came in a second. */
  async i2c(address: number, register: number, count: number): Promise<number[] | undefined> {
    this.bytes = [];
    this.say(sysex, i2cRequest, address, 0x08, register & 0x7f, register >> 7, count, 0, endSysex);
    const reply = () => this.messages().find(([, kind]) => kind === i2cReply);
    await this.board.advanceUntil(() => reply() !== undefined, 1).catch(() => {});
    const body = reply()?.slice(2, -1);
    const values = body?.flatMap((byte, index) => (index % 2 ? [] : [byte | ((body[index + 1] ?? 0) << 7)]));
    return values?.slice(2);
  }

  messages(): number[][] {
    const found: number[][] = [];
    let open: number[] | undefined;
    for (const byte of this.bytes) {
      if (byte === sysex) open = [];
      open?.push(byte);
      if (byte === endSysex && open) {
        found.push(open);
        open = undefined;
      }
    }
    return found;
  }

  firmwareSaid(): string[] {
    return this.messages()
      .filter(([, kind]) => kind === text)
      .map((message) => String.fromCharCode(...message.slice(2, -1).filter((_, index) => index % 2 === 0)));
  }

  /** The mean of the counts that come in on a channel during a second. */
  async counts(channel: number): Promise<number> {
    this.bytes = [];
    this.say(0xc0 | channel, 1);
    await this.board.advance(1);
    this.say(0xc0 | channel, 0);
    const counts: number[] = [];
    this.bytes.forEach((byte, index) => {
      if (byte === (0xe0 | channel))
        counts.push((this.bytes[index + 1] ?? 0) | ((this.bytes[index + 2] ?? 0) << 7));
    });
    return counts.reduce((sum, value) => sum + value, 0) / counts.length;
  }
}

/** One boat and one board for all, in this order: each test leaves whole what it broke. */
describe('the bench boat behind stock firmware', () => {
  const talk = new Conversation();

  beforeAll(async () => {
    // With the power off time costs nothing: the probes settle in their baths and the engine comes up before the board wakes.
    await talk.do({ action: 'power-off' });
    await talk.do({ action: 'throttle', engine: 'port', value: 0.5 });
    await talk.do({ action: 'pressure', hectopascals: 1013.25 });
    await talk.do({ action: 'dip', probe: 'port-exhaust', bath: 250 });
    await talk.do({ action: 'dip', probe: 'port-elbow', bath: 'ice' });
    await talk.do({ action: 'dip', probe: 'starboard-elbow', bath: 'boiling' });
    await talk.board.advance(30);
    await talk.do({ action: 'power-on' });
    await talk.untilGreeted();
  });

  it('reads id and raw EMF of the amplifiers over the two-wire bus', async () => {
    expect(await talk.i2c(0x67, 0x20, 2)).toEqual([0x41, 0x10]);
    expect(await talk.i2c(0x60, 0x20, 2)).toEqual([0x41, 0x10]);
    await talk.board.advance(0.5);
    const raw = (await talk.i2c(0x67, 0x03, 3)) ?? [];
    const cold = (await talk.i2c(0x67, 0x02, 2)) ?? [];
    expect(raw).toHaveLength(3);
    const microvolts = (((raw[0] ?? 0) << 16) | ((raw[1] ?? 0) << 8) | (raw[2] ?? 0)) * 2;
    const coldC = (((cold[0] ?? 0) << 8) | (cold[1] ?? 0)) / 16;
    // NIST table of type K: E(250) = 10.153 mV; near 20 C one degree is 40.3 microvolts and E(20) = 0.798 mV.
    expect(Math.abs(microvolts - (10_153 - 798 - (coldC - 20) * 40.3))).toBeLessThan(15);
  });

  it('elbow probes in ice and in boiling water give the counts of their equation, an open one the rail', async () => {
    const share = (ohms: number) => ohms / (ohms + 2200);
    const beta = (celsius: number) => 10_000 * Math.exp(3977 * (1 / (celsius + 273.15) - 1 / 298.15));
    // A converter that truncates reads half a count low in the mean. IAPWS: water boils at 99.974 C at 1013.25 hPa.
    expect(Math.abs((await talk.counts(0)) + 0.5 - 1024 * share(beta(0)))).toBeLessThan(0.6);
    expect(Math.abs((await talk.counts(1)) + 0.5 - 1024 * share(beta(99.974)))).toBeLessThan(0.6);
    await talk.do({ action: 'open-probe', probe: 'port-elbow' });
    expect(await talk.counts(0)).toBeGreaterThan(1022);
    await talk.do({ action: 'restore-probe', probe: 'port-elbow' });
  });

  it('running inputs follow the engines, active low: port runs, starboard does not', async () => {
    talk.bytes = [];
    talk.say(0xf4, 2, 0, 0xf4, 3, 0, 0xd0, 1);
    await talk.board.advanceUntil(() => talk.bytes.includes(0x90), 2);
    await talk.board.advance(0.05);
    const last = talk.bytes.lastIndexOf(0x90);
    const portD = (talk.bytes[last + 1] ?? 0) | ((talk.bytes[last + 2] ?? 0) << 7);
    expect([portD & 0b100, portD & 0b1000]).toEqual([0, 0b1000]);
  });

  it('an absent chip leaves bytes of the chip that answered before, with only a word of warning', async () => {
    await talk.i2c(0x60, 0x20, 2);
    await talk.do({ action: 'fault', probe: 'port-exhaust', fault: 'absent' });
    const stale = await talk.i2c(0x67, 0x20, 2);
    expect(talk.firmwareSaid().join()).toContain('Too few bytes');
    expect(stale).not.toBeUndefined();
    await talk.do({ action: 'restore-probe', probe: 'port-exhaust' });
    expect(await talk.i2c(0x67, 0x20, 2)).toEqual([0x41, 0x10]);
    expect(talk.firmwareSaid()).toEqual([]);
  });

  it('held wires hang the firmware until they are let go and the board is reset', async () => {
    await talk.do({ action: 'hold-bus' });
    expect(await talk.i2c(0x67, 0x20, 2)).toBeUndefined();
    await talk.do({ action: 'release-bus' });
    expect(await talk.i2c(0x67, 0x20, 2)).toBeUndefined();
    await talk.do({ action: 'reset-board' });
    await talk.untilGreeted();
    expect(await talk.i2c(0x67, 0x20, 2)).toEqual([0x41, 0x10]);
  });

  it('beats keep the missing-pulse circuit quiet; frozen, the outputs stay and it sounds; without power they fall', async () => {
    for (const pin of [8, 9, 10]) talk.say(0xf4, pin, 1);
    const portB = (...pins: number[]) => {
      const mask = pins.reduce((bits, pin) => bits | (1 << (pin - 8)), 0);
      talk.say(0x91, mask & 0x7f, mask >> 7);
    };
    const before = talk.boat.pins.heartbeatEdges;
    for (let beat = 0; beat < 5; beat++) {
      if (beat % 2 === 0) portB(8, 9, 10);
      else portB(8, 9);
      await talk.board.advance(0.7);
      expect(talk.boat.pins).toMatchObject({ buzzer: true, lamp: true, missingPulseSounding: false });
    }
    expect(talk.boat.pins.heartbeatEdges - before).toBe(5);
    await talk.do({ action: 'freeze-board' });
    await talk.board.advance(2.3);
    expect(talk.boat.pins).toMatchObject({ buzzer: true, lamp: true, missingPulseSounding: true });
    await talk.do({ action: 'thaw-board' });
    portB(8, 9);
    await talk.board.advance(0.1);
    expect(talk.boat.pins).toMatchObject({ buzzer: true, lamp: true, missingPulseSounding: false });
    await talk.do({ action: 'power-off' });
    expect(talk.boat.pins).toMatchObject({ buzzer: false, lamp: false });
    await talk.board.advance(2.3);
    expect(talk.boat.pins.missingPulseSounding).toBe(true);
  });
});
