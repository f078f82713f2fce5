import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  boilingC,
  iceBath,
  referenceStandardUncertaintyC,
  stationPressureHectopascals,
} from '../../../calibration/index.js';
import { thermistorPoints } from '../../calibration/made-points.js';
import { app, folder, hold, post, start, takenBaths, withCalibrateRoutes } from './calibrate-fixture.js';

withCalibrateRoutes();

describe('the boiling bath as a person types it on the page', () => {
  it('takes a pressure with its unit, and the report checks the barometer, as on the command line', async () => {
    await start();
    const inches = await post('bath', { kind: 'boiling', report: '30.10inHg', altitudeM: '984.252 ft' });
    expect(inches.code).toBe(200);
    // 30.10 inHg are 1019.30 hPa (conventional inch of mercury).
    const there = stationPressureHectopascals({ qnhHectopascals: 1019.3, altitudeM: 300 });
    expect(inches.bath?.temperatureC).toBeCloseTo(boilingC(there), 3);
    const both = await post('bath', {
      kind: 'boiling',
      barometer: '737mmHg',
      report: '1019',
      altitudeM: 300,
    });
    expect(both.bath?.conditions).toMatchObject({ qnhHpa: 1019, altitudeM: 300 });
    expect(both.bath?.conditions.stationPressureHpa).toBeCloseTo(982.6, 1);
    const alone = await post('bath', { kind: 'boiling', altitudeM: 300 });
    expect(alone.bath?.conditions.pressureUncertaintyHpa).toBe(10);
  });

  it.each([
    [{ barometer: '760', altitudeM: 3 }, /Barometer: 760 looks like mmHg/],
    [{ report: '30.1', altitudeM: 3 }, /Weather report: 30\.1 looks like inHg/],
    [{ barometer: '1013', report: '1013', altitudeM: 200 }, /set to sea level: leave it out/],
    [{ altitudeM: '3 fathoms' }, /Altitude: "3 fathoms" is not an altitude/],
    [{ altitudeM: '20000ft' }, /no boat floats at 6096 m/],
    [{ barometer: '14.7psi', altitudeM: 3 }, /"psi" is no unit of pressure/],
    [{ report: 'high', altitudeM: 3 }, /"high" is not a number/],
    [{ report: '1013' }, /altitudeM/],
  ])('%j is questioned and nothing begins', async (typed, words) => {
    await start();
    const refused = await post('bath', { kind: 'boiling', ...typed });
    expect(refused.code).toBe(400);
    expect(refused.message).toMatch(words);
    expect((await app.inject('/api/calibration')).json()).not.toHaveProperty('bath');
  });
});

describe('a bath beside a thermometer with a certificate of its own', () => {
  const thermometer = {
    certificate: 'L-1234',
    calibratedOn: '2026-02-01',
    expandedUncertaintyC: 0.1,
    coverageFactor: 2,
    driftCPerYear: 0.02,
  };
  it('carries its data into the certificate of the probe', async () => {
    await start();
    const begun = await post('bath', { kind: 'reference', temperatureC: 0, thermometer });
    expect(begun.code).toBe(200);
    const u = begun.bath?.errors.find(({ source }) => source === 'reference thermometer');
    // U over k, and half a year of 0.02 C a year as a rectangle: hypot(0.05, 0.0099 / sqrt(3)) = 0.0503, by hand.
    expect(u?.standardUncertaintyC).toBeCloseTo(0.0503, 4);
    expect(u?.standardUncertaintyC).toBe(
      referenceStandardUncertaintyC(thermometer, '2026-08-01T00:00:00.000Z'),
    );
    hold(thermistorPoints([iceBath()])[0]?.signal.raw ?? 0);
    await expect.poll(takenBaths).toEqual(['reference']);
    await post('finish');
    const certificate = readFileSync(join(folder, 'certificates', 'port-elbow@1.json'), 'utf8');
    expect(JSON.parse(certificate).points[0].reference).toEqual(thermometer);
    const words = readFileSync(join(folder, 'certificates', 'port-elbow@1.txt'), 'utf8');
    expect(words).toMatch(
      /thermometer of certificate L-1234 of 2026-02-01: U 0\.1 C \(k = 2\), drift up to 0\.02 C/,
    );
  });

  it.each([
    [{ ...thermometer, calibratedOn: '2027-02-01' }, /2027-02-01, which is after today/],
    [{ ...thermometer, coverageFactor: 0 }, /coverageFactor|thermometer/],
    [{ ...thermometer, certificate: ' ' }, /certificate|thermometer/],
    [{}, /thermometer/],
  ])('%j is refused', async (typed, words) => {
    await start();
    const refused = await post('bath', { kind: 'reference', temperatureC: 60, thermometer: typed });
    expect(refused.code).toBe(400);
    expect(refused.message).toMatch(words);
  });
});
