import { describe, expect, it } from 'vitest';
import { Mcp960xChip } from '../../../node/bench/chips/mcp960x.js';
import type { ProbeFault } from '../../../node/bench/probes/probe-fault.js';
import { kitSchema } from '../../../node/kit/schema.js';

/** Restated from Microchip DS20005426G, registers 4-1: pointers, sizes and bits are not taken from the model. */
const hotJunction = 0x00;
const coldJunction = 0x02;
const rawAdc = 0x03;
const status = 0x04;
const sensorConfig = 0x05;
const deviceConfig = 0x06;
const deviceId = 0x20;
const thUpdated = 0x40;
const shortCircuit = 0x20;
const openOrRange = 0x10;

function chipWith(fault?: ProbeFault, exact = true) {
  const kit = kitSchema.parse({
    kit: 1,
    boat: { name: 'Test hull' },
    board: { connection: 'bench' },
    outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 },
    probes: [
      {
        id: 'gas',
        name: 'Gas',
        engine: 'port',
        place: 'dry-exhaust',
        channel: { kind: 'mcp960x', address: 0x67 },
      },
    ],
  });
  const probe = kit.probes[0];
  if (probe?.channel.kind !== 'mcp960x') throw new Error('wrong kind');
  const chip = new Mcp960xChip(probe, probe.channel, 1, exact);
  chip.fault = fault;
  let atS = 0;
  return {
    chip,
    run(seconds: number, elementC: number, boardC = 25) {
      for (const end = atS + seconds; atS < end; atS += 0.01) chip.advance(0.01, { atS, elementC, boardC });
    },
    read(pointer: number, count: number): number[] {
      chip.begin(true);
      chip.write(pointer);
      chip.begin(false);
      return Array.from({ length: count }, () => chip.read());
    },
    write(pointer: number, ...bytes: number[]): boolean[] {
      chip.begin(true);
      chip.write(pointer);
      return bytes.map((byte) => chip.write(byte));
    },
  };
}
const celsius = ([high = 0, low = 0]: number[]) => ((((high << 8) | low) << 16) >> 16) * 0.0625;
const microvolts = ([top = 0, high = 0, low = 0]: number[]) =>
  ((((top << 16) | (high << 8) | low) << 8) >> 8) * 2;

describe('the MCP9601 model', () => {
  it('names itself 0x41, revision 0x10', () => {
    expect(chipWith().read(deviceId, 2)).toEqual([0x41, 0x10]);
  });

  it('at 500 C with terminals at 25 C shows 20.644 - 1.000 mV (NIST table), the cold junction and 500 C', () => {
    const { run, read } = chipWith();
    run(2, 500);
    // The model's noise is one code, 2 microvolts, and the table is good to half a microvolt each.
    expect(Math.abs(microvolts(read(rawAdc, 3)) - 19_644)).toBeLessThan(12);
    expect(celsius(read(coldJunction, 2))).toBe(25);
    expect(Math.abs(celsius(read(hotJunction, 2)) - 500)).toBeLessThan(0.4);
  });

  it('below freezing the codes are negative: -50 C against 25 C is -1.889 - 1.000 mV', () => {
    const { run, read } = chipWith();
    run(2, -50);
    expect(Math.abs(microvolts(read(rawAdc, 3)) + 2_889)).toBeLessThan(12);
    expect(Math.abs(celsius(read(hotJunction, 2)) + 50)).toBeLessThan(0.4);
  });

  it('reads on from one register into the next: hot junction, difference and cold junction in six bytes', () => {
    const { run, read } = chipWith();
    run(2, 500);
    const six = read(hotJunction, 6);
    expect(six.slice(4)).toEqual(read(coldJunction, 2));
    expect(celsius(six.slice(2, 4))).toBeCloseTo(celsius(six.slice(0, 2)) - 25, 1);
  });

  it('a write beyond the register, or to one that is read only, is not acknowledged', () => {
    const { read, write } = chipWith();
    expect(write(sensorConfig, 0x02)).toEqual([true]);
    expect(read(sensorConfig, 1)).toEqual([0x02]);
    expect(write(deviceConfig, 0x20, 0xff)).toEqual([true, false]);
    expect(write(rawAdc, 0x00)).toEqual([false]);
    expect(write(0x21)).toEqual([]);
  });

  it('a conversion takes about a third of a second at 18 bits and sets the bit that the host clears', () => {
    const { run, read, write } = chipWith();
    run(0.02, 100);
    write(status, 0x00);
    run(0.25, 100);
    expect((read(status, 1)[0] ?? 0) & thUpdated).toBe(0);
    run(0.15, 100);
    expect((read(status, 1)[0] ?? 0) & thUpdated).toBe(thUpdated);
  });

  it('at 12 bits the codes move in steps of 128 microvolts', () => {
    const { run, read, write } = chipWith();
    write(deviceConfig, 0x60);
    run(1, 300);
    expect(microvolts(read(rawAdc, 3)) % 128).toBe(0);
  });

  it('shut down, it stops converting', () => {
    const { run, read, write } = chipWith();
    run(1, 100);
    write(deviceConfig, 0x01);
    const before = read(rawAdc, 3);
    run(2, 300);
    expect(read(rawAdc, 3)).toEqual(before);
  });

  it.each([
    ['open', openOrRange],
    ['short', shortCircuit],
    ['short-to-ground', shortCircuit],
    ['short-to-supply', shortCircuit],
  ] as const)(
    '%s sets its status bit and leaves the hot junction as it was, while the cold junction lives on',
    (fault, bit) => {
      const { chip, run, read } = chipWith();
      run(2, 400);
      const frozen = read(hotJunction, 2);
      chip.fault = fault;
      run(2, 100, 31);
      expect((read(status, 1)[0] ?? 0) & (shortCircuit | openOrRange)).toBe(bit);
      expect(read(hotJunction, 2)).toEqual(frozen);
      expect(celsius(read(coldJunction, 2))).toBe(31);
      chip.fault = undefined;
      run(2, 100, 31);
      expect((read(status, 1)[0] ?? 0) & (shortCircuit | openOrRange)).toBe(0);
      expect(Math.abs(celsius(read(hotJunction, 2)) - 100)).toBeLessThan(0.4);
    },
  );

  it.each(['open', 'short'] as const)(
    'as an MCP9600 it names itself 0x40 and reads its own temperature when %s',
    (fault) => {
      const { chip, run, read } = chipWith();
      chip.model = 'MCP9600';
      expect(read(deviceId, 2)).toEqual([0x40, 0x10]);
      run(2, 400);
      chip.fault = fault;
      run(2, 400, 31);
      expect((read(status, 1)[0] ?? 0) & (shortCircuit | openOrRange)).toBe(0);
      expect(Math.abs(celsius(read(hotJunction, 2)) - 31)).toBeLessThan(0.4);
    },
  );

  it('out of range of its type it raises the same bit and freezes', () => {
    const { run, read, write } = chipWith();
    write(sensorConfig, 0x20); // type T, to 400 C
    run(1, 300);
    const frozen = read(hotJunction, 2);
    run(1, 800);
    expect((read(status, 1)[0] ?? 0) & openOrRange).toBe(openOrRange);
    expect(read(hotJunction, 2)).toEqual(frozen);
  });

  it('swapped wires make it fall when it should rise, and at 200 C leave its range', () => {
    const { run, read } = chipWith('reversed');
    run(2, 40);
    const at40 = celsius(read(hotJunction, 2));
    run(2, 100);
    const at100 = celsius(read(hotJunction, 2));
    expect(at100).toBeLessThan(at40 - 50);
    run(2, 200);
    // -(8.138 - 1.000) + 1.000 mV lies below the -5.891 mV of -200 C, so the hot junction stays.
    expect(celsius(read(hotJunction, 2))).toBe(at100);
    expect((read(status, 1)[0] ?? 0) & openOrRange).toBe(openOrRange);
    expect(Math.abs(microvolts(read(rawAdc, 3)) + 7_138)).toBeLessThan(12);
  });

  it('stuck, it says updated but never moves', () => {
    const { chip, run, read } = chipWith();
    run(2, 100);
    chip.fault = 'stuck';
    const before = read(rawAdc, 3);
    run(2, 300);
    expect(read(rawAdc, 3)).toEqual(before);
    expect((read(status, 1)[0] ?? 0) & thUpdated).toBe(thUpdated);
  });

  it('the filter follows Y = k X + (1 - k) Y with k = 2 / (2^n + 1)', () => {
    const { run, read, write } = chipWith();
    write(sensorConfig, 0x03); // k = 2/9
    run(3, 100);
    run(0.34, 500);
    const afterOne = celsius(read(hotJunction, 2));
    // One step of 2/9 of the way in EMF: 4.096 + 2/9 (20.644 - 4.096) = 7.773 mV, which is 191 C in the table.
    expect(Math.abs(afterOne - 191)).toBeLessThan(1.5);
  });

  it('none, one or two answer to the address: absent, whole, twin', () => {
    const { chip, run, read } = chipWith();
    expect(chip.onTheBus).toHaveLength(1);
    chip.fault = 'absent';
    expect(chip.onTheBus).toHaveLength(0);
    chip.fault = 'twin-address';
    const [first, second] = chip.onTheBus;
    run(2, 400);
    expect(first?.address).toBe(second?.address);
    second?.begin(true, 0);
    second?.write(hotJunction);
    second?.begin(false, 0);
    const twin = celsius([second?.read() ?? 0, second?.read() ?? 0]);
    expect(Math.abs(twin - 25)).toBeLessThan(0.5);
    expect(celsius(read(hotJunction, 2))).toBeGreaterThan(399);
  });

  it('when clock stretching is ignored some bytes come twice', () => {
    const { run, read } = chipWith('repeats-bytes');
    run(2, 500);
    let repeated = 0;
    for (let i = 0; i < 400; i++) if (read(deviceId, 2)[1] === 0x41) repeated++;
    expect(repeated).toBeGreaterThan(5);
    expect(repeated).toBeLessThan(60);
  });
});
