import { describe, expect, it } from 'vitest';
import { benchKitYaml } from '../../../node/bench/index.js';
import { Wiring } from '../../../node/bench/wiring.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { type Kit, kitSchema } from '../../../node/kit/schema.js';

const kitOf = (changes: object, probes: readonly object[]): Kit =>
  kitSchema.parse({
    kit: 1,
    boat: { name: 'Test hull' },
    board: { connection: 'bench' },
    outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 },
    probes: probes.map((channel, index) => ({
      id: `probe-${index}`,
      name: 'Probe',
      engine: 'both',
      place: 'engine-room',
      channel,
    })),
    ...changes,
  });
const thermistor = { law: 'beta', r25Ohms: 10_000, betaK: 3977 };
const ntc = (pin: string) => ({ kind: 'ntc-divider', pin, resistorOhms: 10_000, thermistor });
const amplifier = { kind: 'mcp960x', address: 0x67 };
const around = { atS: 0, elementC: 25, boardC: 25 };

describe('the wiring of a kit', () => {
  it('gives every probe of the bench kit a circuit, and every pin of it a voltage', () => {
    const kit = parseKit(benchKitYaml, 'bench kit');
    const wiring = new Wiring(kit, 1, true);
    expect([...wiring.probes.keys()]).toEqual(kit.probes.map(({ id }) => id));
    for (const probe of wiring.probes.values()) probe.advance(0.01, around);
    for (const { channel } of kit.probes)
      if ('pin' in channel) expect(wiring.analogCounts(Number(channel.pin.slice(1)))).toBeDefined();
    expect(wiring.analogCounts(7)).toBeUndefined();
  });

  it('ties the reference pin to its share of the supply', () => {
    const wiring = new Wiring(
      kitOf({ referencePin: { pin: 'A3', shareOfSupply: 0.5 } }, [ntc('A0')]),
      1,
      true,
    );
    expect(Math.abs((wiring.analogCounts(3) ?? 0) - 512)).toBeLessThan(5);
  });

  it('puts dividers, their supply and a bare thermocouple on one ADS1115', () => {
    const wiring = new Wiring(
      kitOf({}, [
        {
          kind: 'ntc-divider-ads1115',
          address: 0x48,
          input: 'AIN2',
          supplyInput: 'AIN3',
          supplyVolts: 3.3,
          resistorOhms: 10_000,
          thermistor,
        },
        { kind: 'thermocouple-ads1115', address: 0x48, input: 'AIN0-AIN1', coldJunction: 'probe-0' },
      ]),
      1,
      true,
    );
    wiring.probes.get('probe-0')?.advance(0.01, around);
    wiring.probes.get('probe-1')?.advance(0.01, { ...around, elementC: 500 });
    const [chip, ...others] = wiring.chips();
    expect(others).toEqual([]);
    const measure = (mux: number, pga: number, voltsPerCode: number) => {
      const value = 0x8183 | (mux << 12) | (pga << 9);
      chip?.begin(true, 0);
      for (const byte of [1, value >> 8, value & 0xff]) chip?.write(byte);
      chip?.begin(true, 0.02);
      chip?.write(0);
      chip?.begin(false, 0.02);
      return (((((chip?.read() ?? 0) << 8) | (chip?.read() ?? 0)) << 16) >> 16) * voltsPerCode;
    };
    expect(measure(6, 1, 125e-6)).toBeCloseTo(1.65, 3);
    expect(measure(7, 1, 125e-6)).toBeCloseTo(3.3, 3);
    // NIST table, type K: 20.644 mV at 500 C less 1.000 mV at 25 C.
    expect(Math.abs(measure(0, 5, 7.8125e-6) - 19.644e-3)).toBeLessThan(20e-6);
    const probe = wiring.probes.get('probe-1');
    if (probe) probe.fault = 'absent';
    expect(wiring.chips()[0]?.begin(true, 1)).toBe(false);
  });

  it.each([
    [kitOf({}, [ntc('A6')]), 'probe probe-0 uses A6, but there are only A0 to A5'],
    [kitOf({}, [ntc('A0'), amplifier, ntc('A2')]), undefined],
    [kitOf({ outputs: { buzzerPin: 8, lampPin: 14, heartbeatPin: 10 } }, [ntc('A0')]), 'lampPin is pin 14'],
  ])('refuses pins that an Uno lacks: case %#', (kit, message) => {
    if (message) expect(() => new Wiring(kit, 1, true)).toThrow(message);
    else expect(new Wiring(kit, 1, true).probes.size).toBe(3);
  });
});
