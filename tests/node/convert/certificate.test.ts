import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { type Certificate, thermistorOhms } from '../../../calibration/index.js';
import { converterFor } from '../../../node/convert/converter.js';
import { readCertificate } from '../../../node/convert/read-certificate.js';
import type { Probe } from '../../../node/kit/schema.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { thermistorCertificate, thermocoupleCertificate, trueLaw } from '../../calibration/made-points.js';
import { kitWith, ntcOn } from '../kit-with.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-certificate-'));
afterAll(() => rmSync(folder, { recursive: true }));

const probe = (over: object = {}, channel: object = ntcOn('A0', { resistorOhms: 2200 })): Probe =>
  kitWith([{ id: 'port-elbow', certificate: 'c.json', channel, ...over }]).probes[0] as Probe;
const written = (certificate: Certificate, of: Probe) => {
  writeFileSync(join(folder, 'c.json'), JSON.stringify(certificate));
  return readCertificate(of, folder);
};

test('under its certificate a probe 2 % off its datasheet reads right where the datasheet alone is off, and more surely', () => {
  const certificate = written(thermistorCertificate(), probe());
  const ohms = thermistorOhms(trueLaw, 75);
  const sampled = {
    probe: 'port-elbow',
    atMs: asMonotonicMs(1),
    sample: {
      kind: 'counts',
      counts: (1024 * ohms) / (ohms + 2200),
      fullScale: 1024,
      noiseCounts: 0.5,
      taken: 5,
      strays: 0,
    },
  } as const;
  const nominal = converterFor(probe()).convert(sampled);
  const certified = converterFor(probe(), certificate).convert(sampled);
  const [byDatasheet, byCertificate] = [celsius(nominal), celsius(certified)];
  expect(Math.abs(byDatasheet.temperatureC - 75)).toBeGreaterThan(0.3);
  expect(Math.abs(byCertificate.temperatureC - 75)).toBeLessThan(0.2);
  expect(byCertificate.uncertaintyC).toBeLessThan(byDatasheet.uncertaintyC / 2);
  expect(certified.certificate).toBe('port-elbow@1');
  expect(nominal.certificate).toBeUndefined();
});

test('a kit that names none goes by the datasheet', () => {
  const { certificate: _, ...without } = probe();
  expect(readCertificate(without, folder)).toBeUndefined();
});

describe('a certificate is refused, with the reason and the remedy, when it was made', () => {
  test.each([
    ['for another probe', thermistorCertificate(), probe({ id: 'sea' }), /was made for probe port-elbow/],
    [
      'with another divider',
      thermistorCertificate(),
      probe({}, ntcOn('A0')),
      /2200 ohm in the divider, and the kit says 1000/,
    ],
    [
      'for another sensor',
      thermocoupleCertificate(),
      probe({ id: 'port-exhaust' }),
      /is for a thermocouple, and the kit says thermistor/,
    ],
    [
      'for another letter type',
      thermocoupleCertificate(),
      probe({ id: 'port-exhaust' }, { kind: 'mcp960x', address: 0x67, thermocouple: 'N' }),
      /is for type K, and the kit says type N/,
    ],
  ] as const)('%s', (_, certificate, of, reason) => {
    expect(() => written(certificate, of)).toThrow(reason);
    expect(() => written(certificate, of)).toThrow(/elbowroom calibrate .* out of the kit/);
  });

  test('and somebody edited it since', () => {
    writeFileSync(join(folder, 'c.json'), JSON.stringify({ ...thermistorCertificate(), issue: 2 }));
    expect(() => readCertificate(probe(), folder)).toThrow(
      expect.objectContaining({ code: 'certificate-wrong' }),
    );
  });
});

function celsius({ result }: Reading) {
  if (result.kind !== 'measured' || result.quantity !== 'temperature') throw new Error('no temperature');
  return result;
}
