import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify, { type FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  boilingC,
  iceBath,
  referenceStandardUncertaintyC,
  stationPressureHectopascals,
} from '../../../calibration/index.js';
import { writeCertificate } from '../../../host/calibrate/certificate-files.js';
import type { DeskState } from '../../../host/calibrate/desk.js';
import { KitKeeper } from '../../../host/kit-file/kit-keeper.js';
import type { LiveSource } from '../../../host/live/live-source.js';
import { type BandAnswer, calibrateRoutes, isBadRequest } from '../../../host/serve/calibrate-routes.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { type ReadingRow, systemClock } from '../../../node/index.js';
import { thermistorCertificate, thermistorPoints } from '../../calibration/made-points.js';

let folder: string;
let kitPath: string;
let app: FastifyInstance;
let send: (rows: readonly Partial<ReadingRow>[], node?: string) => void;
/** The nodes that this host knows. */
let nodes: readonly string[] = [];
/** Seconds that the desk believes have passed. */
let atS = 0;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-calibrate-routes-'));
  kitPath = join(folder, 'kit.yaml');
  mkdirSync(join(folder, 'certificates'));
  writeFileSync(kitPath, benchKitYaml);
  app = Fastify();
  app.setErrorHandler((error: Error, _, reply) =>
    reply.code(isBadRequest(error) ? 400 : 500).send({ message: error.message }),
  );
  atS = 0;
  nodes = ['engine-room'];
  const clock = {
    ...systemClock,
    monotonicMs: () => atS * 1000,
    wallMs: () => Date.UTC(2026, 7, 1),
  } as typeof systemClock;
  const live = {
    on: (listener: (node: string, message: unknown) => void) => {
      send = (rows, node = 'engine-room') => listener(node, { kind: 'readings', rate: 'second', rows });
      return () => undefined;
    },
    nodes: () => nodes.map((node) => ({ node })),
  } as unknown as LiveSource;
  const keeper = new KitKeeper({ kitPath, clock });
  await app.register(async (room) => void (await calibrateRoutes(room, { keeper, live, clock })));
});
afterEach(async () => {
  await app.close();
  rmSync(folder, { recursive: true, force: true });
});

const post = async (path: string, payload: object = {}) => {
  const answer = await app.inject({ method: 'POST', url: `/api/calibration/${path}`, payload });
  return { code: answer.statusCode, ...(answer.json() as DeskState & { message?: string }) };
};
const start = () => post('start', { probes: ['port-elbow'], settling: { holdS: 45, trendCPerMin: 0.15 } });
/** A probe that stays the same for a minute at this many ohms; the desk takes the bath by itself. */
const hold = (ohms: number, node?: string, forS = 60) => {
  for (let second = 0; second < forS; second++) {
    atS++;
    const raw = ohms * (1 + 2e-4 * ((atS % 3) - 1));
    send([{ probe: 'port-elbow' as ReadingRow['probe'], quality: 'good', raw, rawUnit: 'ohm' }], node);
  }
};

/** The baths that the first probe has a point of. */
const takenBaths = async (): Promise<readonly string[]> =>
  ((await app.inject('/api/calibration')).json() as DeskState).probes[0]?.points.map(({ bath }) => bath) ??
  [];

describe('two boards aboard', () => {
  it('only the probe of this kit is in the bath, not one of the same id on the other board', async () => {
    nodes = ['engine-room', 'aft'];
    await start();
    await post('bath', { kind: 'ice' });
    // Second by second, one about 1 K from the other: together they would never settle.
    for (let second = 0; second < 150; second++)
      hold(second % 2 ? 32_650 : 34_000, second % 2 ? undefined : 'aft', 1);
    await expect.poll(takenBaths).toEqual(['ice']);
  });

  it('a kit whose node has another name than any that is known takes readings of all', async () => {
    nodes = ['boat'];
    await start();
    await post('bath', { kind: 'ice' });
    hold(32_650, 'boat');
    await expect.poll(takenBaths).toEqual(['ice']);
  });
});

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
