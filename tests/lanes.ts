import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { isLong } from './long-form.js';

/**
 * The lanes of the suite, which run side by side. A file of `tests/bench` takes its lane from the rig it imports, so a
 * new file needs no entry anywhere: a browser (`./page/`), the compiled program or a real server (`./house/`,
 * `./store/`), otherwise boards emulated in the test's own process.
 */
export const benchLanes = ['boards', 'programs', 'pages'] as const;
export type BenchLane = (typeof benchLanes)[number];

const laneOf = (source: string): BenchLane => {
  if (/from '\.\/page\//.test(source)) return 'pages';
  return /from '\.\/(house|store)\//.test(source) ? 'programs' : 'boards';
};

/**
 * `npm test` runs all but `*.long.test.ts`; `npm run test:long` these, and whatever has a long form beside its short
 * one and so imports `long-form.ts`.
 */
const isRunNow = (path: string): boolean =>
  path.endsWith('.long.test.ts')
    ? isLong
    : !isLong || /\/long-form\.js'|ELBOWROOM_FULL/.test(readFileSync(path, 'utf8'));

const testsBelow = (top: string): string[] =>
  readdirSync(top, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.test.ts'))
    .map((name) => join(top, name))
    .filter(isRunNow);

/** The test files of one lane of the bench, as paths from the root of the repository. */
export const filesOf = (lane: BenchLane): string[] =>
  testsBelow('tests/bench').filter((path) => laneOf(readFileSync(path, 'utf8')) === lane);

/** The test files that start no emulated board, browser or server. */
export const fastFiles = (): string[] =>
  readdirSync('tests', { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && entry.name !== 'bench')
    .flatMap((entry) => testsBelow(join('tests', entry.name)));
