import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { certifiedReading, thermistorOhms } from '../../../calibration/index.js';
import { calibrateCommand } from '../../../host/cli/calibrate-command.js';
import { rederiveCommand } from '../../../host/cli/rederive-command.js';
import { verifyCommand } from '../../../host/cli/verify-command.js';
import { openStore } from '../../../host/store/index.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { LinkServer } from '../../../node/link/link-server.js';
import { systemClock } from '../../../node/time/clock.js';
import { thermistorCertificate, trueLaw } from '../../calibration/made-points.js';
import { runCommandHere } from './run-command-here.js';

/** What would be a temperature in Celsius. The certificate itself, which says that it is Celsius, is taken out first. */
const celsius = /\d C\b|°C|\bC\/|\/C\b|\d K\b/;
const fahrenheit = (pointC: number) => pointC * 1.8 + 32;
const number = (text: string, pattern: RegExp) => Number(pattern.exec(text)?.[1] ?? Number.NaN);

let folder: string;
let node: LinkServer;
let ticking: NodeJS.Timeout;
let address: string;
/** The true temperature of the elbow probe at an instant: ticks come late on a busy machine. */
let elbowC: (atMs: number) => number;

/** A node whose elbow probe is in a bath, ten readings a second. */
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-fahrenheit-'));
  elbowC = () => 0;
  node = new LinkServer({
    node: 'engine-room',
    boot: 'boot-1',
    ringBytes: 1_000_000,
    onCommand: async () => ({ ok: true, detail: '' }),
    onTestSound: () => ({ ok: false, detail: '' }),
    onListener: () => {},
  });
  address = `127.0.0.1:${await node.listen('127.0.0.1:0')}`;
  ticking = setInterval(() => {
    const at = Date.now();
    const raw = Math.round(100 * thermistorOhms(trueLaw, elbowC(at))) / 100;
    const row = { probe: 'port-elbow', at, temperatureC: 1, quality: 'good' as const };
    node.publish({ kind: 'readings', rate: 'second', rows: [{ ...row, raw, rawUnit: 'ohm' }] });
  }, 100);
});
afterEach(async () => {
  clearInterval(ticking);
  await node.close();
  rmSync(folder, { recursive: true, force: true });
});

const quickly = ['--hold-s', '1', '--degrees', 'fahrenheit'];
/** The bath of the test is still; a probe that is to settle need not be looked at for long. */
const easily = ['--trend-c-per-min', '60'];
const calibrate = (...more: string[]) => {
  writeFileSync(join(folder, 'kit.yaml'), benchKitYaml);
  const to = ['--kit', join(folder, 'kit.yaml'), '--node', address, '--probe', 'port-elbow'];
  return runCommandHere(calibrateCommand, 'calibrate', ...to, ...quickly, ...more);
};
const verify = (...more: string[]) => {
  writeFileSync(join(folder, 'port-elbow@1.json'), JSON.stringify(thermistorCertificate()));
  const to = ['--certificate', join(folder, 'port-elbow@1.json'), '--node', address];
  return runCommandHere(verifyCommand, 'verify', ...to, ...quickly, ...more);
};

describe('elbowroom --degrees fahrenheit', () => {
  it('calibrate: bath, progress and what the certificate is good to; the certificate says it is Celsius', async () => {
    const { stdout, stderr, exitCode } = await calibrate('--bath', 'ice', ...easily);
    expect(exitCode).toBe(0);
    expect(stdout).toMatch(/^Calibration certificate port-elbow@1/);
    expect(stderr).toContain('Ice bath (32.00 F)');
    expect(number(stderr, /\] +([\d.]+) F +[+-]/)).toBeGreaterThan(20);
    expect(stderr).toContain('The certificate itself is in degrees Celsius.');
    const certificate = JSON.parse(readFileSync(join(folder, 'certificates', 'port-elbow@1.json'), 'utf8'));
    // The bench kit's alarm is at 75 C; its uncertainty has no 32 in it.
    const at75 = certificate.uncertainty.reduce(
      (best: { temperatureC: number }, step: { temperatureC: number }) =>
        Math.abs(step.temperatureC - 75) < Math.abs(best.temperatureC - 75) ? step : best,
    ).expandedUncertaintyC;
    expect(number(stderr, /±([\d.]+) F at 167 F/)).toBeCloseTo(at75 * 1.8, 1);
    expect(stderr).not.toMatch(celsius);
  });

  it('calibrate: a reference thermometer in Fahrenheit, and a probe that is elsewhere or never settles', async () => {
    elbowC = () => 20;
    const elsewhere = await calibrate('--bath', '140F:0.36', '--timeout-s', '2', ...easily);
    expect(elsewhere.stderr).toContain('Reference bath (140.00 F by your thermometer)');
    expect(number(elsewhere.stderr, /port-elbow, reference: elsewhere: reads ([\d.]+) F/)).toBeCloseTo(
      67,
      -1,
    );
    expect(elsewhere.stderr).not.toMatch(celsius);
    // 1 C a second is 108 F a minute, given as a difference and not as a point on the scale.
    let first: number | undefined;
    elbowC = (atMs) => {
      first ??= atMs;
      return 27 + (atMs - first) / 1000;
    };
    const trends = ['--fresh', '--trend-c-per-min', '1', '--timeout-s', '4'];
    const moving = await calibrate('--bath', '86F:0.36', ...trends);
    expect(number(moving.stderr, /not settled: (-?[\d.]+) F per minute/)).toBeGreaterThan(80);
    expect(number(moving.stderr, /not settled: (-?[\d.]+) F per minute/)).toBeLessThan(140);
    expect(moving.stderr).not.toMatch(celsius);
  });

  it('verify: reading and bath are points; difference, allowance and drift are distances', async () => {
    elbowC = () => 0.6;
    const { stdout, stderr } = await verify(...easily);
    const certificate = thermistorCertificate();
    const raw = thermistorOhms(trueLaw, 0.6);
    const readC = certifiedReading(certificate, { raw, rawUnit: 'ohm' }).temperatureC;
    // Kitchen ice is taken as 0.09 C, which is 32.16 F.
    expect(number(stdout, /Reads ([\d.]+) F at 32\.16 F/)).toBeCloseTo(fahrenheit(readC), 1);
    expect(number(stdout, /: \+([\d.]+) F ±[\d.]+ F, allowed/)).toBeCloseTo((readC - 0.09) * 1.8, 1);
    expect(number(stdout, /allowed ([\d.]+) F/)).toBeLessThan(5);
    expect(number(stdout, /drift [+-]([\d.]+) F per year/)).toBeLessThan(5);
    expect(stdout + stderr).not.toMatch(celsius);
    expect(JSON.parse((await verify('--json', ...easily)).stdout).results[0].readC).toBeCloseTo(readC, 1);
  });

  it('rederive: what a new certificate changes is a distance, with its sign', async () => {
    const store = openStore(folder, systemClock);
    const at = Float64Array.from({ length: 20 }, (_, i) => Date.UTC(2026, 3, 1, 8) + i * 60_000);
    store.addHistory({
      node: 'engine-room',
      probe: 'port-elbow',
      at,
      temperatureC: at.map(() => 48),
      raw: at.map(() => thermistorOhms(trueLaw, 50)),
      rawUnit: 'ohm',
    });
    store.close();
    const certificate = thermistorCertificate();
    writeFileSync(join(folder, 'port-elbow@1.json'), JSON.stringify(certificate));
    const asked = ['--certificate', join(folder, 'port-elbow@1.json'), '--data-dir', folder];
    const { stdout } = await runCommandHere(rederiveCommand, 'rederive', ...asked, '--degrees', 'fahrenheit');
    const { temperatureC } = certifiedReading(certificate, {
      raw: thermistorOhms(trueLaw, 50),
      rawUnit: 'ohm',
    });
    expect(number(stdout, /mean (\+[\d.]+) F,/)).toBeCloseTo((temperatureC - 48) * 1.8, 2);
    expect(number(stdout, /largest (\+[\d.]+) F\./)).toBeCloseTo((temperatureC - 48) * 1.8, 2);
    expect(stdout).not.toMatch(celsius);
  });
});

it('verify --reference takes the uncertainty from the certificate of the thermometer: U 2.0 C with k 2 is 1 C', async () => {
  type Result = { readonly differenceUncertaintyC: number };
  const uncertaintyOf = async (...bath: string[]) => {
    const { stdout } = await verify('--json', '--bath', ...bath, ...easily);
    return (JSON.parse(stdout) as { results: Result[] }).results[0]?.differenceUncertaintyC;
  };
  const stated = await uncertaintyOf('0C:1');
  expect(stated).toBeGreaterThan(1.9);
  expect(await uncertaintyOf('0C', '--reference', 'L-1234,2026-02-01,2.0,2,0')).toBeCloseTo(stated ?? 0, 2);
  const { exitCode, stderr } = await verify('--reference', 'L-1234,2026-02-01,2.0,2,0', ...easily);
  expect([exitCode, stderr]).toEqual([2, expect.stringMatching(/no bath is read by it/)]);
});
