import { execFileSync, spawn } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { until } from './house/running-command.js';

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

/** Room for what ships: the program, its page, fonts, firmware and notes. */
const mostBytes = 5e6;

it('installs from its tarball into an empty prefix without git, and runs the bench from there', {
  timeout: 1_800_000,
}, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-package-'));
  folders.push(folder);
  // The bundled list is set for the packing alone: with it in place `npm ci` does not come to an end.
  const copy = join(folder, 'clone');
  cpSync(resolve(import.meta.dirname, '../..'), copy, {
    recursive: true,
    filter: (path) => !/\/(\.git|\.data|\.shots)(\/|$)/.test(path),
  });
  execFileSync('npm', ['pkg', 'set', 'bundleDependencies[0]=johnny-five'], { cwd: copy });
  const [packed] = JSON.parse(
    execFileSync('npm', ['pack', '--json', '--ignore-scripts', '--pack-destination', folder], {
      cwd: copy,
      encoding: 'utf8',
      maxBuffer: 1e8,
    }),
  ) as { filename: string; files: { path: string }[] }[];
  const names = packed?.files.map(({ path }) => path) ?? [];
  expect(names).toContain('dist/page/index.html');
  expect(names.filter((name) => /^(tests|dist\/tests)\//.test(name))).toEqual([]);
  const tarball = join(folder, packed?.filename ?? '');
  expect(statSync(tarball).size).toBeLessThan(mostBytes);

  const prefix = join(folder, 'prefix');
  execFileSync('npm', ['install', '--global', '--prefix', prefix, tarball], {
    cwd: folder,
    env: {
      // Without what `npm run` passes to its children from this repository's own .npmrc.
      ...Object.fromEntries(Object.entries(process.env).filter(([name]) => !/^npm_/i.test(name))),
      // A package that needs git fails here, whether or not this machine has git.
      npm_config_git: '/bin/false',
    },
    stdio: ['ignore', 'ignore', 'pipe'],
  });

  const bench = spawn(join(prefix, 'bin/elbowroom'), ['bench', '--page-port', '0', '--control-port', '0'], {
    cwd: folder,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  for (const stream of [bench.stdout, bench.stderr]) stream.on('data', (chunk) => (said += chunk));
  try {
    const page = await until(
      'the page to be announced',
      () => /The page is at (http:\S+)/.exec(said)?.[1],
      60,
    );
    await until(
      'four live readings on the page of the installed program',
      async () =>
        ((await (await fetch(new URL('/api/now', page))).text()).match(/"good"/g) ?? []).length >= 4,
      120,
    );
  } finally {
    const ended = new Promise((done) => bench.once('exit', done));
    bench.kill('SIGTERM');
    await ended;
  }
});
