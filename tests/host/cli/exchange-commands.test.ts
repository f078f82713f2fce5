import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { exportCommand } from '../../../host/cli/export-command.js';
import { forwardCommand } from '../../../host/cli/forward-command.js';
import { importCommand } from '../../../host/cli/import-command.js';
import { openStore } from '../../../host/store/index.js';
import type { AlertRow } from '../../../node/index.js';
import { systemClock } from '../../../node/time/clock.js';
import { StrictServer } from '../forward/strict-server.js';
import { reading, startAt } from '../store/made-readings.js';
import { runCommandHere } from './run-command-here.js';

let folder: string;
let dataDir: string;
let server: StrictServer;
let url: string;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-commands-'));
  dataDir = join(folder, 'data');
  const store = openStore(dataDir, systemClock);
  const rows = Array.from({ length: 3 }, (_, i) =>
    reading('port-elbow', startAt + i * 1000, { temperatureC: 61.25 + i, raw: 2234.24 + i }),
  );
  store.bulk.rows([{ name: 'port-elbow', rate: 'second', rows }]);
  store.bulk.rows([{ name: 'sea', rate: 'second', rows: [{ probe: 'sea', at: startAt, quality: 'open' }] }]);
  store.close();
  server = new StrictServer();
  url = await server.start();
});
afterEach(() => server.stop());

const contract = `time,probe,temperatureC,raw,rawUnit,coldJunctionC,quality,pressureKpa,speedRpm
2026-05-01T08:00:00.000Z,port-elbow,61.25,2234.24,ohm,,good,,
2026-05-01T08:00:00.000Z,sea,,,,,open,,
2026-05-01T08:00:01.000Z,port-elbow,62.25,2235.24,ohm,,good,,
`;

describe('export and import', () => {
  it('write the contract for scripts to stdout, talk on stderr', async () => {
    const span = ['--from', '2026-05-01T08:00:00Z', '--to', '2026-05-01T10:00:02+02:00'];
    const out = await runCommandHere(exportCommand, 'export', ...span, '--data-dir', dataDir);
    expect(out).toEqual({ exitCode: 0, stdout: contract, stderr: '3 readings of 2 probes.\n' });
  });

  it('bring a file into another store, and count what was there already', async () => {
    const file = join(folder, 'out.csv');
    await runCommandHere(exportCommand, 'export', '--out', file, '--data-dir', dataDir);
    const other = ['--data-dir', join(folder, 'other')];
    const first = await runCommandHere(importCommand, 'import', file, ...other);
    expect(first).toMatchObject({
      exitCode: 0,
      stdout: '4 lines: 4 readings are new, 0 were there already.\n',
    });
    const again = await runCommandHere(importCommand, 'import', file, '--json', ...other);
    expect(JSON.parse(again.stdout)).toMatchObject({ lines: 4, added: 0, already: 4, refused: 0 });
    const back = await runCommandHere(exportCommand, 'export', ...other);
    expect(back.stdout).toBe(readFileSync(file, 'utf8'));
  });

  it('take - for standard input and output', async () => {
    const typed = Readable.from([Buffer.from(contract)]) as typeof process.stdin;
    const stdin = vi.spyOn(process, 'stdin', 'get').mockReturnValue(typed);
    const other = ['--data-dir', join(folder, 'other')];
    const taken = await runCommandHere(importCommand, 'import', '-', '--json', ...other);
    stdin.mockRestore();
    expect(JSON.parse(taken.stdout)).toMatchObject({ added: 3, refused: 0 });
    const back = await runCommandHere(exportCommand, 'export', '--out', '-', ...other);
    expect(back).toMatchObject({ exitCode: 0, stdout: contract });
  });

  it('end with 1 when lines were refused, and name them', async () => {
    const file = join(folder, 'bad.csv');
    writeFileSync(file, `${contract.split('\n')[0]}\n2026-05-01T08:00:00Z,port-elbow,hot,,,,good,,\n`);
    const out = await runCommandHere(importCommand, 'import', file, '--data-dir', dataDir);
    expect(out.exitCode).toBe(1);
    expect(out.stderr).toContain('Line 2: temperatureC "hot" is not a number.');
    expect(out.stderr).toContain('1 of 1 lines were refused');
  });

  it('write alerts and work done as CSV or JSON lines, and bring the service log into another store once', async () => {
    const store = openStore(dataDir, systemClock);
    store.service.add({ at: startAt, engine: 'port', work: 'impeller, new', restartsBaseline: true });
    store.service.add({
      at: startAt + 1000,
      engine: 'both',
      work: 'oil',
      note: '"dark"',
      restartsBaseline: false,
    });
    const alert: AlertRow = {
      id: 'high:port-elbow',
      rule: 'high-limit',
      priority: 'alarm',
      state: 'acknowledged',
      engine: 'port',
      probe: 'port-elbow',
      since: startAt,
      acknowledgedAt: startAt + 20_000,
      message: 'Port elbow is at 76.0 C, its limit is 75 C.',
      evidence: { values: { temperatureC: 76 }, thresholds: { raiseAtC: 75 } },
      actions: [],
    };
    const ended = { node: 'n', alert, raisedAt: startAt, endedAt: startAt + 60_000 };
    store.bulk.alerts([{ ...ended, history: [{ at: startAt + 20_000, alert }] }]);
    store.close();
    const from = ['--data-dir', dataDir];
    const alerts = await runCommandHere(exportCommand, 'export', '--what', 'alerts', ...from);
    expect(alerts).toEqual({
      exitCode: 0,
      stderr: 'alerts: 1 written.\n',
      stdout: `raisedAt,endedAt,acknowledgedAt,node,priority,rule,engine,probe,message,evidence
2026-05-01T08:00:00.000Z,2026-05-01T08:01:00.000Z,2026-05-01T08:00:20.000Z,n,alarm,high-limit,port,port-elbow,"Port elbow is at 76.0 C, its limit is 75 C.","{""values"":{""temperatureC"":76},""thresholds"":{""raiseAtC"":75}}"
`,
    });
    const before = await runCommandHere(
      exportCommand,
      'export',
      '--what',
      'service',
      '--to',
      '2026-05-01T08:00:01Z',
      ...from,
    );
    expect(before.stdout.split('\n').slice(1)).toEqual([
      '2026-05-01T08:00:00.000Z,port,"impeller, new",,true',
      '',
    ]);
    const file = join(folder, 'service.jsonl');
    await runCommandHere(
      exportCommand,
      'export',
      '--what',
      'service',
      '--format',
      'jsonl',
      '--out',
      file,
      ...from,
    );
    const other = ['--what', 'service', '--data-dir', join(folder, 'other')];
    expect((await runCommandHere(importCommand, 'import', file, ...other)).stdout).toBe(
      '2 lines: 2 works done are new, 0 were there already.\n',
    );
    expect((await runCommandHere(importCommand, 'import', file, ...other)).stdout).toBe(
      '2 lines: 0 works done are new, 2 were there already.\n',
    );
    const back = await runCommandHere(exportCommand, 'export', ...other, '--format', 'jsonl');
    expect(back.stdout).toBe(readFileSync(file, 'utf8'));
    writeFileSync(
      file,
      '{"at":"2026-05-01T08:00:00Z","engine":"Middle","work":"x","restartsBaseline":true}\n',
    );
    const bad = await runCommandHere(importCommand, 'import', file, ...other);
    expect([bad.exitCode, bad.stderr]).toEqual([
      1,
      expect.stringContaining('Line 1: engine "Middle" is not the id of an engine'),
    ]);
  });

  it.each([
    [['--what', 'gaps'], 0, /^gaps: 0 written\.\n$/],
    [['--what', 'clock-steps'], 0, /^clock-steps: 0 written\.\n$/],
    [['--what', 'alerts', '--format', 'lines'], 2, /Line protocol holds readings only/],
    [['--what', 'alerts', '--probe', 'sea'], 2, /--probe chooses readings/],
  ])('export %j ends with %d', async (args, exitCode, words) => {
    const out = await runCommandHere(exportCommand, 'export', ...args, '--data-dir', dataDir);
    expect([out.exitCode, out.stderr]).toEqual([exitCode, expect.stringMatching(words)]);
  });

  it('overwrite nothing, and say what to do when there is no store, no file, no such probe, no such moment', async () => {
    const file = join(folder, 'there.csv');
    writeFileSync(file, 'mine');
    const trials: [string[], number, RegExp][] = [
      [['--out', file, '--data-dir', dataDir], 3, /exists already and was left as it is/],
      [['--sqlite', file, '--data-dir', dataDir], 3, /exists already/],
      [['--data-dir', join(folder, 'nowhere')], 3, /There is no store in .*nowhere/],
      [['--probe', 'funnel', '--data-dir', dataDir], 2, /no readings of funnel. It has: port-elbow, sea/],
      [['--from', 'teatime', '--data-dir', dataDir], 2, /--from teatime is not a valid time/],
    ];
    for (const [args, exitCode, words] of trials) {
      const out = await runCommandHere(exportCommand, 'export', ...args);
      expect(out.exitCode, args.join(' ')).toBe(exitCode);
      expect(out.stderr).toMatch(words);
    }
    expect(readFileSync(file, 'utf8')).toBe('mine');
    const none = await runCommandHere(importCommand, 'import', join(folder, 'no.csv'), '--data-dir', dataDir);
    expect(none).toMatchObject({ exitCode: 3, stderr: expect.stringContaining('Cannot read') });
  });

  it('copy the whole store to a new file that opens as a store', async () => {
    const copy = join(folder, 'copy');
    openStore(copy, systemClock).close();
    const file = join(folder, 'copy.sqlite');
    expect(
      await runCommandHere(exportCommand, 'export', '--sqlite', file, '--data-dir', dataDir),
    ).toMatchObject({
      exitCode: 0,
    });
    writeFileSync(join(copy, 'elbowroom.sqlite'), readFileSync(file));
    const copied = openStore(copy, systemClock);
    expect(copied.about().readings).toBe(4);
    copied.close();
  });
});

describe('forward', () => {
  const forward = (...args: string[]) =>
    runCommandHere(forwardCommand, 'forward', ...args, '--data-dir', dataDir);

  it('begins, sends once, shows its status, and sends a span again when asked', async () => {
    expect(await forward('--to', url, '--boat', 'Halcyon', '--once')).toMatchObject({
      exitCode: 0,
      stderr: expect.stringContaining('4 lines sent; nothing is left.'),
    });
    expect([...server.lines.keys()][0]).toBe(
      'reading,boat=Halcyon,channel=port-elbow,quality=good,rate=second,rawUnit=ohm good=1,temperatureC=61.25,raw=2234.24,uncertaintyC=0.21 1777622400000000000',
    );
    const status = JSON.parse((await forward('--status', '--json')).stdout);
    expect(status).toMatchObject({ sent: 4, refused: 0, hoursToResend: 0, destination: { boat: 'Halcyon' } });
    expect(status.series.map((s: { behindS: number }) => s.behindS)).toEqual([0, 0]);
    expect((await forward('--backfill', '2026-05-01', '2026-05-02')).stderr).toMatch(/^2 hours/);
    expect((await forward('--status')).stdout).toContain('Hours that wait to be sent again: 2');
    await forward('--once');
    expect([...server.lines.values()]).toEqual([2, 2, 2, 2]);
  });

  it('says what is missing: a destination, a thing to do, a sound address, a token file', async () => {
    expect(await forward('--status')).toMatchObject({
      exitCode: 2,
      stderr: expect.stringContaining('--to URL'),
    });
    expect(await forward()).toMatchObject({ exitCode: 2, stderr: expect.stringContaining('Say what to do') });
    expect(await forward('--to', 'ftp://x')).toMatchObject({
      exitCode: 2,
      stderr: expect.stringContaining('such as http://x'),
    });
    const noToken = await forward('--to', url, '--token-file', join(folder, 'no-token'), '--once');
    expect(noToken).toMatchObject({
      exitCode: 2,
      stderr: expect.stringContaining('Cannot read the token file'),
    });
  });
});
