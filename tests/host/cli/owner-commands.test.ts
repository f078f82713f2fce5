import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { importCommand } from '../../../host/cli/import-command.js';
import { logCommand } from '../../../host/cli/log-command.js';
import { outputsCommand } from '../../../host/cli/outputs-command.js';
import { planCommand } from '../../../host/cli/plan-command.js';
import { reportCommand } from '../../../host/cli/report-command.js';
import { openStore } from '../../../host/store/index.js';
import { parseKit, systemClock } from '../../../node/index.js';
import { runCommandHere } from './run-command-here.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-commands-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));
const startAt = Date.parse('2026-05-01T08:00:00Z');
const at = (...names: string[]) => join(folder, ...names);

describe('elbowroom plan', () => {
  it('prints an example that it takes itself, and writes a kit.yaml that loads, with its drawings', async () => {
    const example = await runCommandHere(planCommand, 'plan', '--example');
    writeFileSync(at('answers.yaml'), example.stdout);
    const made = await runCommandHere(
      planCommand,
      'plan',
      '--answers',
      at('answers.yaml'),
      '--out',
      at('kit'),
    );
    expect(made).toMatchObject({ exitCode: 0 });
    expect(made.stdout).toMatch(/75 alarm/);
    expect(made.stderr).toMatch(/Next: .*elbowroom wiring --kit/);
    const spaced = at('my kit');
    const asPasted = await runCommandHere(
      planCommand,
      'plan',
      '--answers',
      at('answers.yaml'),
      '--out',
      spaced,
    );
    expect(asPasted.stderr).toContain(`elbowroom wiring --kit '${join(spaced, 'kit.yaml')}'`);
    expect(parseKit(readFileSync(at('kit', 'kit.yaml'), 'utf8'), 'kit.yaml').probes.length).toBe(6);
    for (const name of ['port-elbow.svg', 'missing-pulse.svg', 'running-port.svg'])
      expect(existsSync(at('kit', 'wiring', name))).toBe(true);
  });

  it('does not write over a kit.yaml unless asked to', async () => {
    writeFileSync(at('a.yaml'), 'plan: 1\nboat: Marsh Harrier\n');
    writeFileSync(at('kit.yaml'), 'mine');
    const args = ['plan', '--answers', at('a.yaml'), '--out', folder];
    expect(await runCommandHere(planCommand, ...args)).toMatchObject({ exitCode: 2 });
    expect(readFileSync(at('kit.yaml'), 'utf8')).toBe('mine');
    expect(await runCommandHere(planCommand, ...args, '--force')).toMatchObject({ exitCode: 0 });
  });

  it('gives one JSON document with everything in it', async () => {
    writeFileSync(at('a.yaml'), 'plan: 1\nboat: Marsh Harrier\n');
    const { stdout } = await runCommandHere(planCommand, 'plan', '--answers', at('a.yaml'), '--json');
    const plan = JSON.parse(stdout);
    expect(plan.probes[0].plan.choice.resistorOhms).toBe(4700);
    expect(plan.allocation.connections['main-engine-elbow']).toEqual({ over: 'pin', pin: 'A0' });
    expect(parseKit(plan.kit, 'kit').boat.name).toBe('Marsh Harrier');
  });

  it.each([
    ['a word it does not know', 'plan: 1\nboat: B\nseaProbe: true\n', /line 3, column 1.*seaProbe/s],
    [
      'a warning above the alarm',
      'plan: 1\nboat: B\nwetElbow: { limits: { warnAtC: 80, alarmAtC: 75 } }\n',
      /warnAtC must be below alarmAtC/,
    ],
    [
      'more than the board has pins for',
      'plan: 1\nboat: B\nengines: [{ id: port }, { id: starboard }]\nconverter: board\nexhaustGas: { amplifier: ad8495, beforeTurbo: true }\n',
      /Leave one out/,
    ],
  ])('refuses %s with exit code 2', async (_what, text, words) => {
    writeFileSync(at('a.yaml'), text);
    const { exitCode, stderr, stdout } = await runCommandHere(planCommand, 'plan', '--answers', at('a.yaml'));
    expect([exitCode, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(words);
  });

  it('takes - for what it reads from standard input', async () => {
    const stdin = vi
      .spyOn(process, 'stdin', 'get')
      .mockReturnValue(Readable.from([]) as typeof process.stdin);
    const said = await runCommandHere(planCommand, 'plan', '--answers', '-');
    stdin.mockRestore();
    expect(said).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(/^stdin /) });
  });

  it('names a file that is not there', async () => {
    expect(await runCommandHere(planCommand, 'plan', '--answers', at('none'))).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/none cannot be read/),
    });
  });
});

describe('elbowroom log', () => {
  const log = (...args: string[]) => runCommandHere(logCommand, 'log', ...args, '--data-dir', at('data'));
  const storeThere = () => openStore(at('data'), systemClock).close();

  it('in a folder without a store refuses and makes none', async () => {
    const refused = await log('belt changed', '--engine', 'port');
    expect(refused).toMatchObject({ exitCode: 3, stderr: expect.stringMatching(/no store in .*--data-dir/) });
    expect(existsSync(at('data'))).toBe(false);
  });

  it('writes down work, lists it, and says when a baseline starts again', async () => {
    storeThere();
    const written = await log(
      'impeller changed',
      '--engine',
      'port',
      '--note',
      'two vanes gone',
      '--at',
      '2026-05-01',
    );
    expect(written.stdout).toMatch(
      /^Written: 2026-05-01 00:00 UTC[+-]\d\d:\d\d {2}port .*impeller changed \(two vanes gone\) {2}\[new normal\]$/m,
    );
    expect(written.stderr).toMatch(/baseline/);
    await log('oil changed', '--engine', 'both', '--no-reset-baseline');
    const { entries } = JSON.parse((await log('--json')).stdout);
    expect(entries).toMatchObject([
      {
        at: new Date(2026, 4, 1).getTime(),
        engine: 'port',
        work: 'impeller changed',
        restartsBaseline: true,
      },
      { engine: 'all', work: 'oil changed', restartsBaseline: false },
    ]);
    expect((await log()).stdout.split('\n').length).toBe(3);
  });

  it('corrects an entry and takes one back by its number, and with it what it did to the baseline', async () => {
    storeThere();
    await log('impeller chnged', '--engine', 'port', '--at', '2026-05-01');
    await log('zinc changed', '--engine', 'port', '--at', '2026-05-02');
    const entries = async () => JSON.parse((await log('--json')).stdout).entries;
    const corrected = await log('impeller changed', '--edit', '1', '--no-reset-baseline');
    expect(corrected.stdout).toMatch(/^Corrected: 2026-05-01 .*impeller changed$/m);
    expect(corrected.stderr).toMatch(/as if it had not been restarted/);
    expect(await entries()).toMatchObject([
      { id: 1, at: new Date(2026, 4, 1).getTime(), work: 'impeller changed', restartsBaseline: false },
      { id: 2, work: 'zinc changed', restartsBaseline: true },
    ]);
    const back = await log('--remove', '2');
    expect(back.stdout).toMatch(/^Taken back: .*zinc changed/m);
    expect(back.stderr).toMatch(/as if it had not been restarted/);
    expect(await entries()).toHaveLength(1);
    for (const slip of [
      ['--remove', '9'],
      ['--edit', '9', '--note', 'x'],
      ['--remove', '1', '--note', 'x'],
    ])
      expect((await log(...slip)).exitCode).toBe(2);
    expect(await entries(), 'a mistake changes nothing').toHaveLength(1);
  });

  it.each([
    [['  ', '--engine', 'port'], /Say what was done/],
    [['impeller', '--engine', 'port', '--at', 'yesterday'], /--at yesterday is not a moment/],
    [['impeller', '--engine', 'port', '--at', '2999-01-01'], /yet to come/],
  ])('refuses %j with exit code 2', async (args, words) => {
    const { exitCode, stderr } = await log(...args);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(words);
    expect(existsSync(at('data', 'elbowroom.sqlite'))).toBe(false);
  });

  it('names a data folder without a store', async () => {
    expect((await log()).stderr).toMatch(/There is no store/);
  });
});

describe('elbowroom report', () => {
  const report = (...args: string[]) =>
    runCommandHere(reportCommand, 'report', ...args, '--data-dir', at('data'));
  const writeHistory = () => {
    const store = openStore(at('data'), systemClock);
    const now = Date.now();
    const hour = 3_600_000;
    store.bulk.runSpans([
      { node: 'n', engine: 'port', startAt: now - 50 * hour, endAt: now - 49 * hour },
      { node: 'n', engine: 'port', startAt: now - 3 * hour, endAt: now - 2 * hour },
    ]);
    store.close();
  };

  it('writes the last voyage as one HTML file', async () => {
    writeHistory();
    const { exitCode, stderr } = await report('--voyage', 'last', '--out', at('r.html'));
    expect(exitCode).toBe(0);
    expect(stderr).toMatch(/Wrote .*r\.html/);
    expect(readFileSync(at('r.html'), 'utf8')).toMatch(/^<!doctype html>[\s\S]*<\/html>\n$/);
  });

  it('lists voyages, the last one first, and takes the number it lists', async () => {
    writeHistory();
    const { voyages } = JSON.parse((await report('--list', '--json')).stdout);
    expect(voyages.length).toBe(2);
    expect(voyages[0].from).toBeGreaterThan(voyages[1].to);
    const { span } = JSON.parse((await report('--voyage', '2', '--json')).stdout);
    expect(span).toEqual(voyages[1]);
  });

  it.each([
    [['--voyage', 'next'], 2, /neither "last" nor a whole number/],
    [['--voyage', '9'], 2, /holds 2 voyage/],
    [['--from', '2026-05-02', '--to', '2026-05-01'], 2, /must come after/],
    [['--from', 'May'], 2, /is not a moment/],
    [['--certificates', '/nowhere/at/all'], 2, /cannot be read/],
  ])('refuses %j', async (args, code, words) => {
    writeHistory();
    const { exitCode, stderr } = await report(...args);
    expect(stderr).toMatch(words);
    expect(exitCode).toBe(code);
  });

  it('shows the thermometers’ certificates of a folder that holds an unfinished session and a pressure probe’s, too', async () => {
    writeHistory();
    const made = 'tests/tables/certificates/port-elbow@1.json';
    writeFileSync(at('port-elbow@1.json'), readFileSync(made));
    writeFileSync(at('unfinished-session.json'), '{"saved":2}');
    writeFileSync(at('port-pump@1.json'), '{"pressureCertificate":1}');
    const { exitCode, stdout, stderr } = await report('--certificates', folder, '--json');
    expect(exitCode).toBe(0);
    expect(JSON.parse(stdout).certificates).toHaveLength(1);
    expect(stderr).toContain('port-pump@1.json is of a pressure probe');
  });

  it('of a store that has only imports asks for the kit, and with it has names, limits, plots and hours', async () => {
    const csv = ['time,probe,temperatureC,quality'];
    for (let s = 0; s < 600; s++)
      csv.push(`${new Date(startAt + s * 1000).toISOString()},main-elbow,76,good`);
    writeFileSync(at('season.csv'), csv.join('\n'));
    await runCommandHere(importCommand, 'import', at('season.csv'), '--data-dir', at('data'));
    writeFileSync(at('a.yaml'), 'plan: 1\nboat: Marsh Harrier\nengines: [{ id: main, name: Main }]\n');
    await runCommandHere(planCommand, 'plan', '--answers', at('a.yaml'), '--out', folder);
    const span = ['--from', '2026-05-01', '--to', '2026-05-02', '--out', at('r.html')];
    const plain = await report(...span);
    expect(plain.stderr).toMatch(/does not know names, places and limits of main-elbow.*--kit kit\.yaml/);
    expect(readFileSync(at('r.html'), 'utf8')).toMatch(/<h3>Probes of unknown place<\/h3><svg/);
    const known = await report(...span, '--kit', at('kit.yaml'));
    expect(known.stderr).not.toMatch(/does not know/);
    const html = readFileSync(at('r.html'), 'utf8');
    expect(html).toMatch(/<h3>Wet elbows and sea water<\/h3><svg/);
    for (const words of ['Marsh Harrier', 'Main wet elbow', 'alarm 75 °C']) expect(html).toContain(words);
    expect(html).not.toMatch(/Starboard/);
  });

  it('names the file that is not a certificate', async () => {
    writeHistory();
    writeFileSync(at('bad.json'), '{}');
    expect((await report('--certificates', folder)).stderr).toMatch(/bad\.json/);
  });
});

describe('elbowroom outputs', () => {
  const outputs = (...args: string[]) =>
    runCommandHere(outputsCommand, 'outputs', ...args, '--data-dir', folder);

  it('says that nothing leaves the host when there is no host.yaml', async () => {
    expect(await outputs()).toMatchObject({
      exitCode: 0,
      stdout: expect.stringMatching(/^Nothing leaves the host/),
    });
  });

  it('lists what host.yaml names and refuses a wrong one with its line', async () => {
    writeFileSync(at('host.yaml'), 'settings: 1\nnmea: { udp: [{ to: "127.0.0.1:10110" }] }\n');
    expect(JSON.parse((await outputs('--json')).stdout).outputs).toEqual([
      'NMEA 0183 over UDP to 127.0.0.1:10110',
    ]);
    writeFileSync(at('host.yaml'), 'settings: 1\nnmea: { every: 2 }\n');
    expect(await outputs()).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(/line 2/) });
  });

  it('ends with 3 when a trial message does not get through, and says why', async () => {
    writeFileSync(at('secret'), 'twenty-four bytes or more', { mode: 0o600 });
    writeFileSync(
      at('host.yaml'),
      'settings: 1\nmessages: { webhooks: [{ url: "http://127.0.0.1:1/x", secretFile: secret }] }\n',
    );
    const { exitCode, stdout, stderr } = await outputs('--test');
    expect(exitCode).toBe(3);
    expect(stdout).toMatch(/NOT taken: fetch failed: .+/);
    expect(stderr).toMatch(/1 of 1 test messages/);
  });
});
