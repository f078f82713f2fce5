import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Bath, boilingBath, iceBath, referenceBath, startSession } from '../../../calibration/index.js';
import { inputOf } from '../../../host/calibrate/probe-inputs.js';
import { differenceFrom, stillToTake } from '../../../host/calibrate/resume.js';
import { keepSession } from '../../../host/calibrate/session-file.js';
import { calibrateCommand } from '../../../host/cli/calibrate-command.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { runCommandHere } from '../cli/run-command-here.js';

let folder: string;
let certificates: string;
let kitPath: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-resume-'));
  certificates = join(folder, 'certificates');
  kitPath = join(folder, 'kit.yaml');
  mkdirSync(certificates);
  writeFileSync(kitPath, benchKitYaml);
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const begun = () => {
  const kit = parseKit(benchKitYaml, 'kit.yaml');
  return startSession(Object.fromEntries(kit.probes.map((p) => [p.id, inputOf(p, 'iec-2')])));
};
const leave = (...done: readonly Bath[]) => keepSession(certificates, { ...begun(), done });
const unfinished = () => join(certificates, 'unfinished-session.json');
const calibrate = (...more: string[]) =>
  runCommandHere(calibrateCommand, 'calibrate', '--kit', kitPath, '--node', '127.0.0.1:9', ...more);
const boiled = boilingBath({ from: 'station', hectopascals: 1009 }, 2);

describe('an unfinished session', () => {
  it('is not gone on with under another rule of settling', async () => {
    await leave(iceBath(1));
    const { exitCode, stderr } = await calibrate('--hold-s', '10');
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(
      /after 45 s within 0\.15 C a minute, and by these options after 10 s within 0\.15/,
    );
    // The usual rule, written out, is the same rule; then only the node is missing.
    expect((await calibrate('--hold-s', '45', '--altitude-m', '3')).stderr).toMatch(/No node answers/);
  });

  it('is not gone on with when the kit has another resistor, or no longer the probe', async () => {
    await leave(iceBath(1), boiled);
    const before = readFileSync(unfinished(), 'utf8');
    writeFileSync(kitPath, benchKitYaml.replace(/resistorOhms: \d+/g, 'resistorOhms: 4711'));
    const other = await calibrate();
    expect(other).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/another circuit, law or wire/),
    });
    writeFileSync(kitPath, benchKitYaml.replace('id: sea-water', 'id: sea-chest'));
    const none = await calibrate();
    expect(none).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/about sea-water, which the kit no longer has/),
    });
    expect(readFileSync(unfinished(), 'utf8')).toBe(before);
  });

  it('continues with a certified thermometer on another day, whose drift has grown; not with another certificate', () => {
    const reference = {
      certificate: 'L-1234',
      calibratedOn: '2026-02-01',
      expandedUncertaintyC: 0.1,
      coverageFactor: 2,
      driftCPerYear: 0.02,
    };
    const taken = referenceBath(60.2, 0.051, 1, reference);
    const left = { ...begun(), done: [taken] };
    const nextDay = referenceBath(60.2, 0.0512, 1, { ...reference });
    expect(differenceFrom(left, { baths: [nextDay] })).toBeUndefined();
    expect(stillToTake([nextDay], left.done)).toEqual([]);
    const other = referenceBath(60.2, 0.051, 1, { ...reference, certificate: 'L-9' });
    expect(differenceFrom(left, { baths: [other] })).toMatch(/thermometer L-1234 of .*make it .*L-9/);
    const uncertified = referenceBath(60.2, 0.3, 1);
    expect(differenceFrom(left, { baths: [uncertified] })).toMatch(
      /make it 60\.20 C \(thermometer to 0\.3 C\)/,
    );
  });

  it('does not ask for kitchen ice again when it has packed ice', async () => {
    await leave(iceBath(1, 'packed'), boiled);
    expect((await calibrate()).stderr).toMatch(/No node answers/);
    const kitchen = await calibrate('--bath', 'ice', '--bath', 'boiling', '--pressure-hpa', '1009');
    expect(kitchen).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/0\.00 C \(packed\), and these/),
    });
  });

  it.each(['.', 'on-the-page'])(
    'of release 0.1 in %s is refused with the reason, and --fresh begins again',
    async (where) => {
      // As commit 92a2f1a wrote it: the command beside the certificates, the page in a folder of its own.
      mkdirSync(join(certificates, where), { recursive: true });
      const path = join(certificates, where, 'unfinished-session.json');
      const text = JSON.stringify({ saved: 1, baths: [], done: 1, session: { session: 1, points: {} } });
      writeFileSync(path, text);
      const refused = await calibrate('--altitude-m', '3');
      expect(refused.exitCode).toBe(2);
      expect(refused.stderr).toMatch(
        /of an earlier release\. .*take the baths again\.\nStart again with --fresh/s,
      );
      expect(readFileSync(path, 'utf8')).toBe(text);
      expect((await calibrate('--altitude-m', '3', '--fresh')).stderr).toMatch(/No node answers/);
      expect(existsSync(path)).toBe(true);
    },
  );
});

describe('a reference thermometer on the command line', () => {
  const certificate = 'L-1234,2026-02-01,0.10,2,0.02';
  it.each([
    [['--reference', certificate, '--altitude-m', '3'], /no bath is read by it.*--bath T without :u/],
    [['--reference', certificate, '--bath', '60.2:0.3'], /no bath is read by it/],
    [['--reference', 'L-1234,2996-02-01,0.10,2,0.02', '--bath', '60'], /2996-02-01, which is after today/],
    [['--reference', 'L-1234,2026-02-01,0.10', '--bath', '60'], /--reference/],
  ])('%j is refused', async (more, message) => {
    const { exitCode, stderr } = await calibrate(...more);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(message);
  });
});
