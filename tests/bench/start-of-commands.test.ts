/**
 * What a command waits for before it does anything: the files and packages that are imported with it. Counted in the
 * bundled program and not timed, so that a busy machine fails nothing.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { commands } from '../../host/cli/commands.js';

const program = resolve(import.meta.dirname, '../../dist/program');

/** Both about a third above the largest of today (rederive: 66 files; commission: 1.25 MB). */
const mostFiles = 90;
const mostBytes = 1.7e6;

/** Packages that a command may load at once: the store that it reads, and what its whole work goes through. */
const allowed: Readonly<Record<string, readonly string[]>> = {
  host: ['pino'],
};
const allowedToAll = ['better-sqlite3', '@serialport/parser-readline', 'write-file-atomic'];

const importsOf = (file: string): readonly string[] =>
  [
    ...readFileSync(join(program, file), 'utf8').matchAll(
      /^(?:import|export)\b[^;]*?\bfrom\s*"([^"]+)"|^import "([^"]+)"/gm,
    ),
  ].map(([, from, alone]) => (from ?? alone) as string);

/** Every file that is loaded with `first`, without what is imported later, and the packages that these import. */
const loadedWith = (...first: readonly string[]) => {
  const files = new Set<string>();
  const packages = new Set<string>();
  const follow = (file: string): void => {
    if (files.has(file)) return;
    files.add(file);
    for (const name of importsOf(file))
      if (name.startsWith('./')) follow(name.slice(2));
      else if (!name.startsWith('node:') && !builtinModules.includes(name)) packages.add(name);
  };
  first.forEach(follow);
  const bytes = [...files].reduce((sum, file) => sum + statSync(join(program, file)).size, 0);
  return { files: files.size, bytes, packages: [...packages] };
};

it('the count sees packages: the server of the page is among those of a host that runs', () => {
  expect(existsSync(program), 'Type: npm run build').toBe(true);
  expect(loadedWith('run-host.js').packages).toEqual(expect.arrayContaining(['fastify', '@fastify/static']));
});

it.each(Object.keys(commands))('%s starts with few files and no package that it can load later', (name) => {
  const { files, bytes, packages } = loadedWith('main.js', `${name}-command.js`);
  expect(packages.filter((p) => ![...allowedToAll, ...(allowed[name] ?? [])].includes(p))).toEqual([]);
  expect(files).toBeLessThan(mostFiles);
  // What is bundled from packages is no name here any more, but its bytes are: clients of MQTT, mail and series are megabytes.
  expect(bytes).toBeLessThan(mostBytes);
});

it('says its version from any folder', () => {
  const { version } = JSON.parse(readFileSync(join(program, '../../package.json'), 'utf8')) as {
    version: string;
  };
  for (const file of ['../host/cli/elbowroom.js', '../host/cli/main.js'])
    expect(
      execFileSync(process.execPath, [join(program, file), '--version'], { cwd: tmpdir(), encoding: 'utf8' }),
    ).toBe(`${version}\n`);
});

describe('what is run', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-start-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  /** Writes each file that is loaded on stderr; both of node's loaders pass it. */
  const listing = `data:text/javascript,${encodeURIComponent(`
    import { register } from 'node:module';
    register('data:text/javascript,' + encodeURIComponent(\`
      import { writeSync } from 'node:fs';
      export const load = (url, context, next) => {
        if (url.startsWith('file:')) writeSync(2, 'LOADED ' + url + '\\\\n');
        return next(url, context);
      };\`));`)}`;
  const loadedBy = (...words: readonly string[]): readonly string[] => {
    const stderr = join(folder, 'stderr');
    try {
      execFileSync(
        'sh',
        [
          '-c',
          `"$0" "$@" 2>"${stderr}"`,
          process.execPath,
          '--import',
          listing,
          join(program, '../host/cli/elbowroom.js'),
          ...words,
        ],
        { cwd: folder, stdio: 'ignore' },
      );
    } catch {
      // A status that says that something is wrong ends with 1.
    }
    return [...readFileSync(stderr, 'utf8').matchAll(/^LOADED (.*)$/gm)].map(([, url]) => url as string);
  };

  it.each([
    [['status']],
    [['outputs']],
    [['plan', '--example']],
    [['log']],
    [['service', 'install', '--dry-run']],
  ])('%s loads the bundled program and little else', (words) => {
    const loaded = loadedBy(...words);
    expect(loaded.some((url) => url.endsWith('/dist/program/main.js'))).toBe(true);
    expect(loaded.length).toBeLessThan(mostFiles);
    expect(
      loaded.filter((url) =>
        /\/node_modules\/(?!better-sqlite3|@serialport|write-file-atomic|signal-exit)/.test(url),
      ),
    ).toEqual([]);
  });
});
