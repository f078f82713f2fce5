import { existsSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { logCommand } from '../../../host/cli/log-command.js';
import { outputsCommand } from '../../../host/cli/outputs-command.js';
import { openStore } from '../../../host/store/index.js';
import { systemClock } from '../../../node/index.js';
import { at, folder, withOwnFolder } from './own-folder.js';
import { runCommandHere } from './run-command-here.js';

withOwnFolder();

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
    [['impeller', '--engine', 'port', '--at', 'yesterday'], /--at yesterday is not a valid time/],
    [['impeller', '--engine', 'port', '--at', '2999-01-01'], /in the future/],
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
