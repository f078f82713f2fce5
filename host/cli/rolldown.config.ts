import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'rolldown';

const root = fileURLToPath(new URL('../..', import.meta.url));

/**
 * Packages that stay packages: those with native code, those that find their own files at run time, and the server of the page,
 * which should be seen by those who look for packages with known weaknesses.
 */
const installed =
  /^(johnny-five|firmata-io|serialport|@serialport\/[^/]+|better-sqlite3|stk500|stk500-v2|fastify|@fastify\/[^/]+|pino|write-file-atomic)(\/.+)?$/;

/** The folder of the package that a module belongs to; undefined for our own. */
const packageFolder = (id: string): string | undefined => /^.*\/node_modules\/(@[^/]+\/)?[^/]+/.exec(id)?.[0];

/** Licences ask that their notice goes with every copy, and a bundled package is one. A file of a module has no `__filename`. */
const checkedWithNotices: Plugin = {
  name: 'checked-with-notices',
  generateBundle(_options, bundle) {
    for (const file of Object.values(bundle))
      if (
        file.type === 'chunk' &&
        !/\bconst __dirname = /.test(file.code) &&
        /\b__(file|dir)name\b/.test(file.code)
      )
        throw new Error(`${file.fileName} holds a package that asks where it lies: leave it a package.`);
    const folders = Object.values(bundle).flatMap((file) =>
      file.type === 'chunk' ? file.moduleIds.flatMap((id) => packageFolder(id) ?? []) : [],
    );
    const source = [...new Set(folders)].sort().map(noticeOf).join('\n\n');
    this.emitFile({ type: 'asset', fileName: 'LICENCES.txt', source: `${source}\n` });
  },
};

const noticeOf = (folder: string): string => {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Record<
    'name' | 'version' | 'license',
    string
  >;
  const file = readdirSync(folder).find((entry) => /^(licen[cs]e|copying)/i.test(entry));
  if (file === undefined) throw new Error(`${folder} is bundled and brings no licence file.`);
  return `${name} ${version} (${license})\n\n${readFileSync(join(folder, file), 'utf8').trim()}`;
};

/**
 * The program as a few dozen files instead of a few hundred: most of a short command's start was spent on finding, reading
 * and compiling modules one by one. Each command still is a file of its own.
 */
export default defineConfig({
  cwd: root,
  input: { main: 'host/cli/main.ts' },
  platform: 'node',
  external: [/^node:/, installed],
  resolve: { extensionAlias: { '.js': ['.ts', '.js'] } },
  treeshake: {
    // Our own modules only declare, but for the start; so what a command does not use of a room's index is left out.
    moduleSideEffects: [
      { test: /\/host\/cli\/main\.ts$/, sideEffects: true },
      { test: /^(?!.*\/node_modules\/).*\.ts$/, sideEffects: false },
    ],
  },
  plugins: [checkedWithNotices],
  output: {
    dir: 'dist/program',
    cleanDir: true,
    format: 'esm',
    sourcemap: true,
    chunkFileNames: '[name].js',
    entryFileNames: '[name].js',
  },
});
