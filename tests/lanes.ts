import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/**
 * The lanes of the suite, which run side by side. A file of `tests/bench` takes its lane from the rig it imports, so a
 * new file needs no entry anywhere: a browser (`./page/`), the compiled program or a real server (`./house/`,
 * `./store/`), otherwise boards emulated in the test's own process.
 */
export const benchLanes = ['boards', 'programs', 'pages'] as const;
export type BenchLane = (typeof benchLanes)[number];

const folder = 'tests/bench';

const laneOf = (source: string): BenchLane => {
  if (/from '\.\/page\//.test(source)) return 'pages';
  return /from '\.\/(house|store)\//.test(source) ? 'programs' : 'boards';
};

/** The test files of one lane, as paths from the root of the repository. */
export const filesOf = (lane: BenchLane): string[] =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.test.ts'))
    .map((name) => join(folder, name))
    .filter((path) => laneOf(readFileSync(path, 'utf8')) === lane);
