import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { hoseKpa, issuePressureCertificate } from '../../../calibration/index.js';
import { chanceFor } from '../../../node/bench/chance.js';
import { simulatorOf } from '../../../node/bench/channels/table.js';
import { Converter } from '../../../node/bench/circuits/converter.js';
import { converterFor } from '../../../node/convert/converter.js';
import { readCertificate } from '../../../node/convert/read-certificate.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import type { Probe } from '../../../node/kit/schema.js';
import { numbersOf } from '../../../node/reading/quantity.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const kitOf = (lines: string) =>
  parseKit(
    `kit: 1
boat: { name: Invented, invented: true }
board: { connection: auto }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
probes:
  - ${lines}
`,
    'kit.yaml',
  );
const pump = kitOf(
  '{ id: port-pump, name: Port pump, engine: port, place: raw-water-pressure, channel: { kind: ratiometric-pressure, pin: A0 } }',
).probes[0] as Probe;

const counts = (value: number) => ({
  kind: 'counts' as const,
  counts: value,
  fullScale: 1024,
  noiseCounts: 0.7,
  taken: 8,
  strays: 0,
});
const resultAt = (volts: number, probe = pump) =>
  converterFor(probe).convert({ probe: probe.id, atMs: asMonotonicMs(1), sample: counts((volts / 5) * 1024) })
    .result;

describe('a ratiometric transducer, 0.5 to 4.5 V for 0 to 200 kPa', () => {
  it.each([
    [0.5, 0],
    [2.5, 100],
    [4.5, 200],
  ])('%d V is %d kPa', (volts, kpa) => {
    const result = resultAt(volts);
    expect(result.kind === 'measured' && result.quantity).toBe('pressure');
    expect(result.kind === 'measured' && numbersOf(result).value).toBeCloseTo(kpa, 9);
  });

  it.each([
    [0, 'open'],
    [0.39, 'open'],
    [4.61, 'short-to-supply'],
    [5, 'short-to-supply'],
  ])('%d V, beyond what it can give, is %s', (volts, reason) => {
    expect(resultAt(volts)).toEqual({ kind: 'missing', reason });
  });

  it('room for its zero error: 0.46 V and 4.54 V are read', () => {
    expect([resultAt(0.46), resultAt(4.54)].map(({ kind }) => kind)).toEqual(['measured', 'measured']);
  });
});

test('a kit with a pressure channel at an elbow, or limits on a pressure, is refused and says why', () => {
  const at = (place: string, more = '') =>
    kitOf(
      `{ id: p, name: P, engine: port, place: ${place}, channel: { kind: ratiometric-pressure, pin: A0 }${more} }`,
    );
  expect(() => at('wet-elbow')).toThrow(/measures pressure, and at wet-elbow it must be temperature/);
  expect(() =>
    at('raw-water-pressure', ', limits: { alarm: { raiseAtC: 90, clearAtC: 80, holdS: 1 } }'),
  ).toThrow(/limits are temperatures/);
});

test('hose and rule find the hidden deviation of a bench part: 40 and 80 kPa within the certificate’s uncertainty', () => {
  const inputs = { seed: 31, exact: false, supplyFactor: 1, tap: () => {}, onBus: () => {} };
  let circuit: { share(): number } | undefined;
  const wired = simulatorOf(pump.channel).wire(pump, pump.channel, {
    ...inputs,
    onPin: (_, made) => {
      circuit = made;
    },
  });
  const board = new Converter(chanceFor(31, 'converter'), false);
  const readAt = (pressureKpa: number) => {
    wired.advance(1, { atS: 0, elementC: 20, boardC: 20, engine: { pressureKpa, speedRpm: 0 } });
    const codes = Array.from({ length: 800 }, () => Math.floor(board.counts(circuit?.share() ?? 0)) + 0.5);
    return codes.reduce((sum, code) => sum + code, 0) / codes.length;
  };
  const water = { waterC: 18, latitudeDeg: 54 };
  const certificate = issuePressureCertificate({
    ...water,
    probe: { id: 'port-pump', name: 'Port pump' },
    issue: 3,
    issuedAt: '2026-05-01T08:00:00.000Z',
    fullScaleKpa: 200,
    points: [0, 0.5, 1, 1.5, 2].map((heightM) => ({
      heightM,
      volts: (readAt(hoseKpa({ heightM, ...water })) / 1024) * 5,
      scatterVolts: 0.001,
      readings: 10,
    })),
  });
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-pressure-'));
  writeFileSync(join(folder, 'c.json'), JSON.stringify(certificate));
  const named = { ...pump, certificate: 'c.json' };
  const converter = converterFor(named, readCertificate(named, folder));
  expect(converter.certificate).toBe('port-pump@3');
  for (const trueKpa of [40, 80]) {
    const { result } = converter.convert({
      probe: pump.id,
      atMs: asMonotonicMs(1),
      sample: counts(readAt(trueKpa)),
    });
    if (result.kind !== 'measured') throw new Error(result.reason);
    const { value, uncertainty } = numbersOf(result);
    expect(Math.abs(value - trueKpa)).toBeLessThan(2 * uncertainty);
    // The nominal line of an uncertified part is known to 2.3 kPa.
    expect(uncertainty).toBeLessThan(1.5);
  }
  const other = { ...named, id: 'starboard-pump' };
  expect(() => readCertificate(other, folder)).toThrow(/was made for probe port-pump/);
});
