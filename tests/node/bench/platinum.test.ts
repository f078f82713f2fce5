import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Wiring } from '../../../node/bench/wiring.js';
import type { I2cBus } from '../../../node/bus/i2c-bus.js';
import { kindOf } from '../../../node/channels/table.js';
import { Ads1115 } from '../../../node/chips/ads1115.js';
import { converterFor } from '../../../node/convert/converter.js';
import type { Kit } from '../../../node/kit/schema.js';
import { asMonotonicMs, type Clock } from '../../../node/time/clock.js';
import { readTable } from '../../tables/read-table.js';
import { kitWith } from '../kit-with.js';

const elements = [
  { r0Ohms: 100, resistorOhms: 2_200 },
  { r0Ohms: 1_000, resistorOhms: 4_700 },
] as const;

/** A kit of one platinum element; its supply is seen by AIN3. */
const kitOf = (element: (typeof elements)[number]): Kit =>
  kitWith([
    {
      channel: {
        kind: 'platinum-divider-ads1115',
        address: 0x48,
        input: 'AIN0',
        supplyInput: 'AIN3',
        ...element,
      },
    },
  ]);

/** The register-level chip of a wiring, as the bus that the driver speaks on; a conversion takes its time. */
function busOf(wiring: Wiring, nowS: () => number): I2cBus {
  const chip = wiring.chips()[0];
  if (!chip) throw new Error('The kit has no ADS1115.');
  return {
    async read(_, register, byteCount) {
      chip.begin(true, nowS());
      chip.write(register);
      chip.begin(false, nowS());
      const bytes = Array.from({ length: byteCount }, () => chip.read());
      chip.end();
      return { kind: 'bytes', bytes };
    },
    async write(_, bytes) {
      chip.begin(true, nowS());
      for (const byte of bytes) chip.write(byte);
      chip.end();
    },
  };
}

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

describe.each(elements)('a Pt$r0Ohms over $resistorOhms ohm on the simulated ADS1115', (element) => {
  it('reads the published table of IEC 60751 from -30 to 390 C, through driver, channel and converter', async () => {
    const kit = kitOf(element);
    const [probe] = kit.probes;
    if (!probe) throw new Error('The kit has no probe.');
    const wiring = new Wiring(kit, 1, true);
    let ms = 0;
    const clock = { monotonicMs: () => asMonotonicMs(ms), wallMs: () => ms } as unknown as Clock;
    const wait = async (forMs: number): Promise<void> => {
      ms += forMs;
    };
    const bus = busOf(wiring, () => ms / 1000);
    const chip = new Ads1115(bus, 0x48, wait);
    const input = kindOf(probe.channel).open(probe.id, probe.channel, {
      converterAt: () => chip,
      i2c: bus,
      clock,
      analogInput: () => {
        throw new Error('No pin is used.');
      },
    });
    const converter = converterFor(probe);
    const stepOhms = (ohms: number) =>
      ((ohms + element.resistorOhms) ** 2 / element.resistorOhms) * (187.5e-6 / 5);
    const rows = readTable('pt100-iec60751.csv').filter(
      ({ temp_c }) => Number(temp_c) >= -30 && Number(temp_c) <= 390,
    );
    expect(rows.length).toBeGreaterThan(40);
    let worstC = 0;
    for (const { temp_c = '', resistance_ohm = '' } of rows) {
      const [c, ohms] = [Number(temp_c), (Number(resistance_ohm) * element.r0Ohms) / 100];
      wiring.probes.get(probe.id)?.advance(1, { atS: ms / 1000, elementC: c, boardC: 25 });
      // The first answer may be from before; the second is of this temperature.
      for (let n = 0; n < 2; n++) {
        input.take();
        ms += 200;
        await vi.advanceTimersByTimeAsync(200);
      }
      const sampled = input.take();
      if (!sampled) throw new Error(`Nothing was read at ${c} C.`);
      const reading = converter.convert(sampled);
      // Half a digit of the table, and two steps of the converter for its rounding and its noise.
      const withinOhms = (0.005 * element.r0Ohms) / 100 + 2 * stepOhms(ohms);
      expect(Math.abs((reading.signal?.raw ?? Number.NaN) - ohms), `${c} C`).toBeLessThan(withinOhms);
      expect(reading.result.kind, `${c} C`).toBe('measured');
      const readC = 'temperatureC' in reading.result ? reading.result.temperatureC : Number.NaN;
      // The least slope up to 390 C is 0.34 ohm per C and 100 ohm (differences of the table's last rows).
      expect(Math.abs(readC - c), `${c} C`).toBeLessThan(withinOhms / (0.0034 * element.r0Ohms));
      worstC = Math.max(worstC, Math.abs(readC - c));
    }
    expect(worstC).toBeGreaterThan(0);
    if ('stop' in input && typeof input.stop === 'function') input.stop();
  });
});
