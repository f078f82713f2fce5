import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { boilingBath, calibrate, iceBath, startSession, stepSession } from '../../../calibration/index.js';
import { nextIssue, readCertificate, writeCertificate } from '../../../host/calibrate/certificate-files.js';
import { inputOf } from '../../../host/calibrate/probe-inputs.js';
import { forgetSession, keepSession, unfinishedSession } from '../../../host/calibrate/session-file.js';
import { calibrateCommand } from '../../../host/cli/calibrate-command.js';
import { verifyCommand } from '../../../host/cli/verify-command.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { thermistorCertificate, thermistorPoints } from '../../calibration/made-points.js';
import { BrokenSystem } from '../../node/run/broken-system.js';
import { runCommandHere } from '../cli/run-command-here.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-certificates-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('certificate files', () => {
  it('count up, are never overwritten, and read back equal', async () => {
    expect(await nextIssue(folder, 'port-elbow')).toBe(1);
    const path = await writeCertificate(folder, thermistorCertificate(1), { txt: 'told', svg: '<svg/>' });
    expect(readdirSync(folder).sort()).toEqual(['port-elbow@1.json', 'port-elbow@1.svg', 'port-elbow@1.txt']);
    expect(await readCertificate(path)).toEqual(thermistorCertificate(1));
    expect(await nextIssue(folder, 'port-elbow')).toBe(2);
    expect(await nextIssue(folder, 'port')).toBe(1);
    const before = readFileSync(path, 'utf8');
    await expect(writeCertificate(folder, thermistorCertificate(1), {})).rejects.toThrow(/EEXIST/);
    expect(readFileSync(path, 'utf8')).toBe(before);
  });

  it('whatever operation of the disk fails, the certificate is there whole or not at all', async () => {
    const path = join(folder, 'port-elbow@1.json');
    const whole = `${JSON.stringify(thermistorCertificate(1), null, 1)}\n`;
    let [refused, all] = [0, false];
    for (let n = 1; !all; n++) {
      rmSync(path, { force: true });
      const disk = new BrokenSystem(folder, { from: n, to: n, code: 'ENOSPC' });
      try {
        await writeCertificate(folder, thermistorCertificate(1), {});
      } catch {
        refused++;
      }
      disk.restore();
      all = disk.operations.length < n;
      if (existsSync(path)) expect([n, readFileSync(path, 'utf8')]).toEqual([n, whole]);
    }
    expect(refused).toBeGreaterThan(3);
  });
});

describe('an unfinished session', () => {
  it('is kept without what a bath was watching, and forgotten on request', async () => {
    const kit = parseKit(benchKitYaml, 'kit.yaml');
    const inputs = Object.fromEntries(kit.probes.map((p) => [p.id, inputOf(p, 'iec-2')]));
    const begun = stepSession(startSession(inputs), { kind: 'begin', bath: iceBath(2) });
    await keepSession(folder, { ...begun, done: [iceBath(1)] });
    const back = await unfinishedSession(folder);
    expect(back?.done).toEqual([iceBath(1)]);
    expect(back?.watches).toEqual({});
    expect(back?.bath).toBeUndefined();
    await forgetSession(folder);
    expect(await unfinishedSession(folder)).toBeUndefined();
    writeFileSync(join(folder, 'unfinished-session.json'), '{}');
    await expect(unfinishedSession(folder)).rejects.toThrow(/is not an unfinished session/);
  });

  it('is gone on with only under options that say what was taken; a mistyped pressure is refused', async () => {
    const path = join(folder, 'kit.yaml');
    writeFileSync(path, benchKitYaml);
    const kit = parseKit(benchKitYaml, 'kit.yaml');
    const inputs = Object.fromEntries(kit.probes.map((p) => [p.id, inputOf(p, 'iec-2')]));
    const boiled = boilingBath({ from: 'station', hectopascals: 1009 }, 2);
    mkdirSync(join(folder, 'certificates'));
    await keepSession(join(folder, 'certificates'), { ...startSession(inputs), done: [iceBath(1), boiled] });
    const kept = readFileSync(join(folder, 'certificates', 'unfinished-session.json'), 'utf8');
    const cases: readonly (readonly [readonly string[], RegExp])[] = [
      [
        ['--pressure-hpa', '1019'],
        /boiling bath at 99\.86 C \(1009\.0 hPa\), and these options make it 100\.13 C/,
      ],
      [['--bath', 'ice'], /took a boiling bath at .*these options have none/],
      [['--probe', 'port-elbow'], /it is about .*starboard.*and these options are about port-elbow/],
      [['--wire', 'iec-1'], /has another circuit, law or wire now/],
    ];
    for (const [more, message] of cases) {
      const outcome = await runCommandHere(calibrateCommand, 'calibrate', '--kit', path, ...more);
      expect(outcome.stderr).toMatch(message);
      expect(outcome.stderr).toMatch(/--fresh/);
      expect(outcome.exitCode).toBe(2);
    }
    expect(readFileSync(join(folder, 'certificates', 'unfinished-session.json'), 'utf8')).toBe(kept);
  });
});

describe('every kind of channel can be calibrated', () => {
  it('its input and its sensor belong together', () => {
    const text = (channel: string) => `kit: 1
boat: { name: Reed Warbler, invented: true }
board: { connection: bench }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
probes:
  - { id: cold-end, name: Cold end, engine: port, place: engine-room, channel: { kind: ntc-divider, pin: A0, resistorOhms: 10000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } } }
  - { id: probe, name: Probe, engine: port, place: dry-exhaust, channel: ${channel} }`;
    const channels = [
      '{ kind: ntc-divider-ads1115, address: 0x48, input: AIN0, resistorOhms: 10000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }',
      '{ kind: platinum-divider-ads1115, address: 0x48, input: AIN0, supplyInput: AIN3, resistorOhms: 1000, r0Ohms: 1000 }',
      '{ kind: mcp960x, address: 0x67 }',
      '{ kind: ad8495, pin: A1 }',
      '{ kind: ad8495-ads1115, address: 0x48, input: AIN0 }',
      '{ kind: thermocouple-ads1115, address: 0x48, input: AIN0-AIN1, coldJunction: cold-end }',
    ];
    for (const channel of channels) {
      const probe = parseKit(text(channel), 'kit.yaml').probes[1];
      if (!probe) throw new Error('the kit lost its probe');
      const { sensor, chain } = inputOf(probe, 'iec-1');
      const [ice] = thermistorPoints([iceBath()]);
      const signal = {
        thermistor: { raw: 32_000, rawUnit: 'ohm' },
        thermocouple: { raw: -1000, rawUnit: 'microvolt', coldJunctionC: 25 },
        platinum: { raw: 1001, rawUnit: 'ohm' },
        ad8495: { raw: 0.004, rawUnit: 'volt' },
      } as const;
      const point = { ...(ice as NonNullable<typeof ice>), scatter: 0, signal: signal[sensor.kind] };
      const { linesAt, residualsC } = calibrate(sensor, chain, [point]);
      // What is left over at ice belongs to the ice and the steps of the converter: 0.17 C, and three of them.
      expect(Math.abs(residualsC[0] as number), channel).toBeLessThan(0.5);
      expect(Math.hypot(...linesAt(75).map((l) => l.standardUncertaintyC)), channel).toBeGreaterThan(0.1);
    }
  });
});

describe('what calibrate and verify refuse before they touch anything', () => {
  const kit = () => {
    const path = join(folder, 'kit.yaml');
    writeFileSync(path, benchKitYaml);
    return path;
  };
  it.each([
    [['--probe', 'nowhere', '--pressure-hpa', '1010'], /--probe nowhere: the kit has port-elbow/],
    [['--bath', 'boiling'], /depends on air pressure: give --altitude-m/],
    [['--bath', 'steam', '--pressure-hpa', '1010'], /say ice, packed-ice, boiling, or T:u/],
    [['--bath', '60:0', '--pressure-hpa', '1010'], /uncertainty must be above zero/],
    [['--bath', '140:0.2', '--degrees', 'fahrenheit'], /say which it is: 140F:0.2 or 140C:0.2/],
    [['--pressure-hpa', '1010', '--altitude-m', '300'], /1010\.0 hPa fits sea level better than 300 m/],
    [
      ['--pressure-hpa', '1010', '--altitude-m', '150', '--qnh-hpa', '1011'],
      /barometer is set to sea level: leave it out/,
    ],
    [['--pressure-hpa', '30.1'], /30\.1 looks like inHg\. Write 30\.1inHg/],
    [['--pressure-hpa', '760'], /760 looks like mmHg/],
    [['--pressure-hpa', '29.9psi'], /"psi" is no unit of pressure/],
    [['--qnh-hpa', '30.1', '--altitude-m', '3'], /30\.1 looks like inHg/],
    [['--qnh-hpa', '1020'], /reduced to sea level; give --altitude-m/],
    [['--pressure-hpa', '12'], /no air pressure at a place with boats/],
    [['--pressure-hpa', 'high'], /--pressure-hpa: "high" is not a number/],
    [['--bath', 'ice', '--hold-s', '0'], /--hold-s is 0; it must be above zero/],
  ])('%j', async (more, message) => {
    const outcome = await runCommandHere(calibrateCommand, 'calibrate', '--kit', kit(), ...more);
    expect(outcome.exitCode).toBe(2);
    expect(outcome.stderr).toMatch(message);
    expect(existsSync(join(folder, 'certificates', 'unfinished-session.json'))).toBe(false);
  });

  it('shows a certificate, as text and as JSON', async () => {
    const path = await writeCertificate(folder, thermistorCertificate(1), {});
    const shown = await runCommandHere(calibrateCommand, 'calibrate', '--show', path);
    expect(shown.stdout).toMatch(/^Calibration certificate port-elbow@1/);
    const data = await runCommandHere(calibrateCommand, 'calibrate', '--show', path, '--json');
    expect(JSON.parse(data.stdout)).toEqual(thermistorCertificate(1));
    const none = await runCommandHere(calibrateCommand, 'calibrate', '--show', join(folder, 'none.json'));
    expect(none).toMatchObject({ exitCode: 3, stderr: expect.stringMatching(/Cannot read .*none\.json/) });
  });

  it('verify needs certificates of different probes, unedited', async () => {
    const one = await writeCertificate(folder, thermistorCertificate(1), {});
    const two = await writeCertificate(folder, thermistorCertificate(2), {});
    const twice = await runCommandHere(verifyCommand, 'verify', '--certificate', one, '--certificate', two);
    expect(twice).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(/same probe/) });
    writeFileSync(two, readFileSync(two, 'utf8').replace('"issue": 2', '"issue": 9'));
    const edited = await runCommandHere(verifyCommand, 'verify', '--certificate', two);
    expect(edited).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(/checksum does not fit/) });
  });
});
