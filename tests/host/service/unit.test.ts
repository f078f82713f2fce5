import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it, vi } from 'vitest';
import { serviceCommand } from '../../../host/cli/service-command.js';
import { stillRuns } from '../../../host/service/systemd.js';
import { unitText } from '../../../host/service/unit.js';
import { runCommandHere } from '../cli/run-command-here.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-service-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const options = {
  nodePath: process.execPath,
  entryPath: '/opt/elbow room/elbowroom.js',
  folder: '/tmp',
  user: 'root',
  watchArguments: ['--kit', '50% $kit "a".yaml'],
};

it('writes words that systemd splits, expands and quotes back to what they were (systemd.service(5), Command lines)', () => {
  const [, start = ''] = /^ExecStart=(.*)$/m.exec(unitText(options)) ?? [];
  expect(start).toBe(
    `${process.execPath} "/opt/elbow room/elbowroom.js" watch --kit "50%% $$kit \\"a\\".yaml"`,
  );
});

it('is a unit that systemd-analyze has nothing to say against', () => {
  const path = join(folder, 'elbowroom.service');
  writeFileSync(path, unitText({ ...options, watchArguments: ['--kit', 'kit.yaml'] }));
  const { status, stderr, error } = spawnSync('systemd-analyze', ['verify', path], { encoding: 'utf8' });
  if (error) throw new Error('These tests need systemd-analyze (Debian package systemd).', { cause: error });
  expect(stderr).toBe('');
  expect(status).toBe(0);
});

/** Answers as systemctl(1) does for a unit in this state; the second look at the count is that after the wait. */
const answering = (state: string, restarts: readonly [string, string]): void => {
  const bin = join(folder, 'bin');
  rmSync(bin, { recursive: true, force: true });
  mkdirSync(bin);
  const looked = join(bin, 'looked');
  const script = `#!/bin/sh
case $1 in
  is-active) echo ${state}; [ ${state} = active ] || exit 3 ;;
  show) if [ -e '${looked}' ]; then echo ${restarts[1]}; else echo ${restarts[0]}; touch '${looked}'; fi ;;
esac
`;
  writeFileSync(join(bin, 'systemctl'), script, { mode: 0o755 });
  vi.stubEnv('PATH', `${bin}:${process.env.PATH}`);
};

it.each([
  ['active', ['0', '0'], undefined],
  ['active', ['3', '3'], undefined],
  ['active', ['0', '4'], /again and again \(4 times/],
  ['activating', ['0', '4'], /does not run: activating/],
  ['failed', ['0', '0'], /does not run: failed/],
] as const)(
  'a unit that is %s after restarts %j runs, or it is said that it does not',
  async (state, restarts, said) => {
    answering(state, restarts);
    try {
      const wrong = await stillRuns(1);
      if (said) expect(wrong).toMatch(said);
      else expect(wrong).toBeUndefined();
    } finally {
      vi.unstubAllEnvs();
    }
  },
);

it('prints the unit and changes nothing with --dry-run, and refuses a folder without a kit', async () => {
  writeFileSync(join(folder, 'kit.yaml'), 'kit: 1\n');
  const dry = await runCommandHere(
    serviceCommand,
    'service',
    'install',
    '--dry-run',
    '--folder',
    folder,
    '--user',
    'skipper',
  );
  expect(dry).toMatchObject({ exitCode: 0, stdout: expect.stringContaining(`WorkingDirectory=${folder}`) });
  expect(dry.stdout).toContain('User=skipper');
  writeFileSync(join(folder, 'aft.yaml'), 'kit: 1\n');
  const both = ['--kit', 'kit.yaml', '--kit', 'aft.yaml', '--folder', folder, '--user', 'skipper'];
  const two = await runCommandHere(serviceCommand, 'service', 'install', '--dry-run', ...both);
  expect(two.stdout).toContain(' watch --kit kit.yaml --kit aft.yaml\n');
  const none = await runCommandHere(
    serviceCommand,
    'service',
    'install',
    '--dry-run',
    '--folder',
    join(folder, 'no'),
  );
  expect(none).toMatchObject({ exitCode: 2, stderr: expect.stringContaining('There is no') });
});
