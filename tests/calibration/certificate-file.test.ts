import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  certificateName,
  certificatePicture,
  certificateText,
  certifiedReading,
  parseCertificate,
  thermocoupleCurve,
} from '../../calibration/index.js';
import { thermistorCertificate, thermocoupleCertificate } from './made-points.js';

const codeOf = (action: () => unknown): string => {
  try {
    action();
  } catch (error) {
    return (error as { code: string }).code;
  }
  return 'nothing was refused';
};

describe('the certificate as a file', () => {
  const text = JSON.stringify(thermistorCertificate(), null, 1);

  it('comes back equal, and bears its name', () => {
    const certificate = parseCertificate(text, 'a.json');
    expect(certificate).toEqual(thermistorCertificate());
    expect(certificateName(certificate)).toBe('port-elbow@1');
  });

  it('a hand edit anywhere is noticed, reordering and reindenting are not', () => {
    const edited = text.replace('"Port wet elbow"', '"Port  wet elbow"');
    expect(codeOf(() => parseCertificate(edited, 'a.json'))).toBe('edited-certificate');
    const lowered = text.replace(/"expandedUncertaintyC": (0\.\d+)/, '"expandedUncertaintyC": 0.01');
    expect(lowered).not.toBe(text);
    expect(codeOf(() => parseCertificate(lowered, 'a.json'))).toBe('edited-certificate');
    const reordered = Object.fromEntries(Object.entries(thermistorCertificate()).reverse());
    expect(parseCertificate(JSON.stringify(reordered), 'a.json')).toEqual(thermistorCertificate());
  });

  it('refuses a newer layout, a missing field, another document and no JSON, each with the file and what to do', () => {
    const newer = JSON.stringify({ ...thermistorCertificate(), certificate: 3 });
    expect(codeOf(() => parseCertificate(newer, 'a.json'))).toBe('newer-version');
    const { points: _, ...without } = thermistorCertificate();
    expect(() => parseCertificate(JSON.stringify(without), 'a.json')).toThrow(/^a\.json: field points: /);
    expect(() => parseCertificate('{"kit":1}', 'a.json')).toThrow(/a\.json is no calibration certificate/);
    expect(() => parseCertificate('{"certificate":', 'a.json')).toThrow(/a\.json is not JSON/);
    expect(codeOf(() => parseCertificate('[]', 'a.json'))).toBe('bad-certificate');
  });

  it('a certificate of the last release still loads and reads as it did', () => {
    // Written by release 92a2f1a; the readings are computed here from the law that it carries.
    const read = (name: string) =>
      parseCertificate(
        readFileSync(new URL(`../tables/certificates/${name}.json`, import.meta.url), 'utf8'),
        name,
      );
    const thermistor = read('port-elbow@1');
    const { model } = thermistor;
    if (model.kind !== 'thermistor') throw new Error('not the model of layout 1');
    const { a, b, c, d, referenceOhms } = model.law;
    const l = Math.log(1_500 / referenceOhms);
    const kelvin = 1 / (a + l * (b + l * (c + l * d)));
    expect(certifiedReading(thermistor, { raw: 1_500, rawUnit: 'ohm' }).temperatureC).toBeCloseTo(
      kelvin - 273.15,
      9,
    );
    const couple = read('port-exhaust@3');
    if (couple.model.kind !== 'thermocouple') throw new Error('not the model of layout 1');
    const k = thermocoupleCurve('K');
    const emf = 15_000 * (1 + couple.model.gain) + couple.model.offsetMicrovolts + k.emfMicrovolts(30);
    expect(
      certifiedReading(couple, { raw: 15_000, rawUnit: 'microvolt', coldJunctionC: 30 }).temperatureC,
    ).toBeCloseTo(k.temperatureC(emf), 9);
    expect(certificateText(couple)).toContain('offset-and-gain');
    expect(certificatePicture(thermistor)).toMatch(/^<svg /);
  });

  it('is written as text and drawn as a picture without a single NaN', () => {
    for (const certificate of [thermistorCertificate(), thermocoupleCertificate()]) {
      const shown = certificateText(certificate);
      expect(shown).toContain(certificateName(certificate));
      expect(shown).toMatch(/ice {7,}0\.000 C/);
      const drawn = certificatePicture(certificate);
      expect(drawn).toMatch(/^<svg /);
      expect(drawn.match(/<circle/g)?.length).toBe(certificate.points.length);
      expect(`${shown}${drawn}`).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});
