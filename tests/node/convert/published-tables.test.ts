import { expect, test } from 'vitest';
import { converterFor } from '../../../node/convert/converter.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { readDocument, readTable } from '../../tables/read-table.js';
import { probeWith } from '../kit-with.js';

const atMs = asMonotonicMs(1);

test('a type K sample with its cold junction at 0 C gives the published temperature, row by row', () => {
  const { convert } = converterFor(probeWith({ kind: 'mcp960x', address: 0x67 }));
  // Outside -40 to 1000 C the node calls a thermocouple implausible; those rows are tested where the curve is.
  const rows = readTable('its90/type-k.csv').filter(
    (row) => +(row.temp_c ?? '') >= -40 && +(row.temp_c ?? '') <= 1000,
  );
  expect(rows).toHaveLength(1041);
  let worstMicrovolts = 0;
  for (const row of rows) {
    const emfMicrovolts = Number(row.emf_mv) * 1000;
    const { result } = convert({
      probe: 'p0',
      atMs,
      sample: { kind: 'thermocouple', emfMicrovolts, coldJunctionC: 0 },
    });
    // The first and last row may fall just outside the plausible span by the rounding of the table.
    if (result.kind !== 'measured' || result.quantity !== 'temperature') {
      expect([-40, 1000]).toContain(Number(row.temp_c));
      continue;
    }
    // Half the last printed digit is 0.5 uV; the slope of type K is 35 to 43 uV/C in this span.
    worstMicrovolts = Math.max(worstMicrovolts, Math.abs(result.temperatureC - Number(row.temp_c)) * 35);
  }
  expect(worstMicrovolts).toBeLessThanOrEqual(0.5);
});

test('a cold junction at 25 C adds its own EMF: 7.140 mV measured is 200 C, not 175 + 25', () => {
  // NIST table: 8.138 mV at 200 C, 1.000 mV at 25 C.
  const { convert } = converterFor(probeWith({ kind: 'mcp960x', address: 0x67 }));
  const { result } = convert({
    probe: 'p0',
    atMs,
    sample: { kind: 'thermocouple', emfMicrovolts: 8138 - 1000, coldJunctionC: 25 },
  });
  expect(result).toMatchObject({
    kind: 'measured',
    quantity: 'temperature',
    temperatureC: expect.closeTo(200, 1),
  });
});

type Equations = {
  readonly vishay_ntcle100e3_103: { readonly t_of_r: { A1: number; B1: number; C1: number; D1: number } };
};

test.each(['low', 'high'] as const)(
  'counts of a divider with the thermistor on the %s side give the published R-T table',
  (thermistorSide) => {
    const { A1, B1, C1, D1 } = readDocument<Equations>('thermistors/equations.json').vishay_ntcle100e3_103
      .t_of_r;
    const thermistor = { law: 'steinhart-hart-4', a: A1, b: B1, c: C1, d: D1, referenceOhms: 10_000 };
    const resistorOhms = 1_000;
    const { convert } = converterFor(
      probeWith({ kind: 'ntc-divider', pin: 'A0', resistorOhms, thermistorSide, thermistor }),
    );
    const rows = readTable('thermistors/vishay-ntcle100e3-103.csv').filter(
      (row) => +(row.temp_c ?? '') >= -25,
    );
    expect(rows).toHaveLength(36);
    let worstC = 0;
    for (const row of rows) {
      const ohms = Number(row.resistance_ohm);
      const share =
        thermistorSide === 'low' ? ohms / (ohms + resistorOhms) : resistorOhms / (ohms + resistorOhms);
      const { result, signal } = convert({
        probe: 'p0',
        atMs,
        sample: {
          kind: 'counts',
          counts: share * 1024,
          fullScale: 1024,
          noiseCounts: 0.7,
          taken: 5,
          strays: 0,
        },
      });
      expect(signal?.raw).toBeCloseTo(ohms, 6);
      if (result.kind !== 'measured' || result.quantity !== 'temperature')
        throw new Error(`${row.temp_c} C is ${JSON.stringify(result)}`);
      worstC = Math.max(worstC, Math.abs(result.temperatureC - Number(row.temp_c)));
    }
    // The datasheet's own equation differs from its own table by up to 0.0112 C (noted in the table's document).
    expect(worstC).toBeLessThanOrEqual(0.0113);
  },
);
