import { expect, it } from 'vitest';
import {
  certificateText,
  certifiedTemperatureC,
  guardedLimitC,
  issueCertificate,
  parseCertificate,
  referenceBath,
  referenceStandardUncertaintyC,
} from '../../calibration/index.js';
import { chance } from './coverage/chance.js';
import { documented } from './coverage/conditions.js';
import { pointFrom } from './coverage/coverage.js';
import { trueBaths } from './coverage/true-baths.js';
import { trueThermistor } from './coverage/true-thermistor.js';
import { thermistorCertificate, thermistorPoints } from './made-points.js';

it('an alarm set with the guard band is late in at most 5 of 100 cases, and one without it in far more', () => {
  const source = chance(77);
  const count = 300;
  let late = 0;
  let lateWithout = 0;
  for (let i = 0; i < count; i++) {
    const probe = trueThermistor(source, documented);
    const points = trueBaths(source, documented).map(({ believed, trueC }) =>
      pointFrom(
        believed,
        Array.from({ length: 45 }, () => probe.atTheTable(trueC)),
      ),
    );
    const { sensor, chain } = probe.input;
    const certificate = issueCertificate({
      probe: { id: 'p', name: 'P' },
      issue: 1,
      issuedAt: '2026-01-01T00:00:00Z',
      sensor,
      chain,
      points,
    });
    // The elbow is at 75 C now: an alarm that has not been reached by its reading is late.
    const read = certifiedTemperatureC(certificate, probe.inUse(75));
    if (read < guardedLimitC(certificate, 75)) late++;
    if (read < 75) lateWithout++;
  }
  // 300 draws of 5 %: one standard deviation is 1.3 %.
  expect(late / count).toBeLessThan(0.08);
  expect(lateWithout / count).toBeGreaterThan(0.3);
});

it('the guard band is 1.645 standard uncertainties for one in twenty (the bell, one side)', () => {
  const certificate = thermistorCertificate();
  const u = certificate.uncertainty.find((step) => step.temperatureC === 75)?.standardUncertaintyC as number;
  expect(75 - guardedLimitC(certificate, 75)).toBeCloseTo(1.645 * u, 3);
  expect(75 - guardedLimitC(certificate, 75, 0.01)).toBeCloseTo(2.326 * u, 2);
});

it('the certificate of the reference thermometer travels into that of the probe', () => {
  const reference = {
    certificate: 'L-1234',
    calibratedOn: '2025-03-01',
    expandedUncertaintyC: 0.1,
    coverageFactor: 2,
    driftCPerYear: 0.03,
  };
  const u = referenceStandardUncertaintyC(reference, '2026-03-01');
  expect(u).toBeCloseTo(Math.hypot(0.05, 0.03 / Math.sqrt(3)), 4);
  const points = thermistorPoints([referenceBath(60, u, 1, reference)]);
  const certificate = thermistorCertificate(1, points);
  expect(parseCertificate(JSON.stringify(certificate), 'a.json').points[0]?.reference).toEqual(reference);
  expect(certificateText(certificate)).toContain(
    'by the thermometer of certificate L-1234 of 2025-03-01: U 0.1 C (k = 2), drift up to 0.03 C a year',
  );
});
