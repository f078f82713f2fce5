import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * The fast tests under other releases of Node, each fetched on demand by npx (the package `node` brings the binaries):
 *
 *     npm run test:nodes              22 and 24
 *     npm run test:nodes -- 24 FILE   one release, some files
 *
 * What is committed is cloned and installed again for each, because the database's binary fits one release only.
 */
const [, , ...words] = process.argv;
const releases = words.filter((word) => /^\d+$/.test(word));
const files = words.filter((word) => !/^\d+$/.test(word));

const under = (release: string, cwd: string, command: string): boolean =>
  spawnSync('npx', ['--yes', '-p', `node@${release}`, '-c', command], { cwd, stdio: 'inherit' }).status === 0;

let failed = false;
for (const release of releases.length > 0 ? releases : ['22', '24']) {
  const clone = mkdtempSync(join(tmpdir(), `elbowroom-node-${release}-`));
  try {
    const cloned =
      spawnSync('git', ['clone', '-q', '--shared', '.', clone], { stdio: 'inherit' }).status === 0;
    const passed =
      cloned &&
      under(release, clone, 'node --version && npm ci --no-audit --no-fund') &&
      under(release, clone, `npm run test:fast -- ${files.join(' ')}`);
    console.log(`Node ${release}: ${passed ? 'passed' : 'FAILED'}`);
    failed ||= !passed;
  } finally {
    rmSync(clone, { recursive: true, force: true });
  }
}
process.exitCode = failed ? 1 : 0;
