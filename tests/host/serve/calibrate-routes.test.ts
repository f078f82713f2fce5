import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeCertificate } from '../../../host/calibrate/certificate-files.js';
import type { BandAnswer } from '../../../host/serve/calibrate-routes.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import type { ReadingRow } from '../../../node/index.js';
import { thermistorCertificate } from '../../calibration/made-points.js';
import {
  app,
  folder,
  hold,
  kitPath,
  knowNodes,
  post,
  send,
  start,
  takenBaths,
  withCalibrateRoutes,
} from './calibrate-fixture.js';

withCalibrateRoutes();

describe('two boards aboard', () => {
  it('only the probe of this kit is in the bath, not one of the same id on the other board', async () => {
    knowNodes('engine-room', 'aft');
    await start();
    await post('bath', { kind: 'ice' });
    // Second by second, one about 1 K from the other: together they would never settle.
    for (let second = 0; second < 150; second++)
      hold(second % 2 ? 32_650 : 34_000, second % 2 ? undefined : 'aft', 1);
    await expect.poll(takenBaths).toEqual(['ice']);
  });

  it('a kit whose node has another name than any that is known takes readings of all', async () => {
    knowNodes('boat');
    await start();
    await post('bath', { kind: 'ice' });
    hold(32_650, 'boat');
    await expect.poll(takenBaths).toEqual(['ice']);
  });
});

describe('the guard band of a probe, for its limits in Set-up', () => {
  it('is that of its certificate; there is none without one', async () => {
    const askFor = async (probe: string) =>
      ((await app.inject(`/api/guard-band?probe=${probe}`)).json() as BandAnswer).band;
    expect(await askFor('port-elbow')).toBeNull();
    const certificate = thermistorCertificate(1);
    await writeCertificate(join(folder, 'certificates'), certificate, {});
    writeFileSync(
      kitPath,
      benchKitYaml.replace(
        'id: port-elbow\n',
        'id: port-elbow\n    certificate: certificates/port-elbow@1.json\n',
      ),
    );
    const band = await askFor('port-elbow');
    expect(band).toMatchObject({ certificate: 'port-elbow@1', lateChance: 0.05 });
    // 1.645 standard uncertainties: the one-sided 95 % of the normal distribution (JCGM 106; table of the bell).
    const at75 = certificate.uncertainty.find(({ temperatureC }) => temperatureC === 75);
    expect(band?.steps.find(({ limitC }) => limitC === 75)?.bandC).toBeCloseTo(
      1.6449 * (at75?.standardUncertaintyC ?? Number.NaN),
      3,
    );
    expect(await askFor('nowhere')).toBeNull();
  });
});

describe('a session on the page', () => {
  it('shows a reading under the certificate in force', async () => {
    await writeCertificate(join(folder, 'certificates'), thermistorCertificate(1), {});
    writeFileSync(
      kitPath,
      benchKitYaml.replace(
        'id: port-elbow\n',
        'id: port-elbow\n    certificate: certificates/port-elbow@1.json\n',
      ),
    );
    await start();
    await post('bath', { kind: 'ice' });
    send([{ probe: 'port-elbow' as ReadingRow['probe'], quality: 'good', raw: 33_000, rawUnit: 'ohm' }]);
    const [progress] = (await app.inject('/api/calibration')).json().progress;
    expect(progress.under).toBe('port-elbow@1');
  });

  it('is not finished with a kit that has another resistor now', async () => {
    await start();
    await post('bath', { kind: 'ice' });
    hold(32_650);
    await expect.poll(takenBaths).toEqual(['ice']);
    writeFileSync(kitPath, benchKitYaml.replace(/resistorOhms: \d+/g, 'resistorOhms: 4711'));
    for (const [path, body] of [
      ['bath', { kind: 'ice' }],
      ['finish', {}],
    ] as const) {
      const refused = await post(path, body);
      expect(refused.code).toBe(400);
      expect(refused.message).toMatch(/port-elbow has another circuit.*Put the kit file back/);
    }
    expect(readdirSync(join(folder, 'certificates'))).toEqual(['unfinished-session.json']);
    writeFileSync(kitPath, benchKitYaml);
    expect((await post('finish')).code).toBe(200);
  });

  it('of release 0.1 is shown as what it is, and a new one takes its place', async () => {
    const old = join(folder, 'certificates', 'on-the-page');
    mkdirSync(old);
    writeFileSync(
      join(old, 'unfinished-session.json'),
      JSON.stringify({ saved: 1, session: { session: 1 } }),
    );
    expect((await app.inject('/api/calibration')).json().unreadable).toMatch(/of an earlier release/);
    const begun = await start();
    expect(begun.probes.map(({ id }) => id)).toEqual(['port-elbow']);
    expect(begun.unreadable).toBeUndefined();
    expect(readdirSync(old)).toEqual([]);
  });

  it('is not begun with a probe that the kit does not have', async () => {
    const refused = await post('start', { probes: ['port-elbow', 'nowhere'] });
    expect(refused).toMatchObject({ code: 400, message: 'The kit has no probe nowhere.' });
  });
});
