import { cpus } from 'node:os';
import { defineConfig } from 'vitest/config';
import { type BenchLane, benchLanes, fastFiles, filesOf } from './lanes.js';

const ownTemporaryFolder = 'tests/own-temporary-folder.ts';

/** The lanes run side by side in processes of their own (run-lanes.ts). Programs mostly wait, so two of their files run at once. */
const bench = (name: BenchLane, index: number) => ({
  test: {
    name,
    root: '.',
    include: filesOf(name),
    globalSetup: [
      ownTemporaryFolder,
      'tests/bench/system-packages.ts',
      ...(name === 'pages' ? ['tests/bench/page/shared-fixtures.ts'] : []),
    ],
    maxWorkers: name === 'programs' ? 2 : 1,
    // One after another where somebody runs several lanes in one process.
    sequence: { groupOrder: index + 1 },
    testTimeout: 360_000,
    hookTimeout: 360_000,
  },
});

export default defineConfig({
  test: {
    reporters: ['default', './tests/name-the-skipped.ts'],
    projects: [
      {
        test: {
          name: 'fast',
          root: '.',
          include: fastFiles(),
          globalSetup: [ownTemporaryFolder],
          setupFiles: ['tests/property-seed.ts'],
          // Pure tests share no state, so each worker loads the modules once: 110 s of processor time less.
          isolate: false,
          // By itself vitest leaves one core idle.
          maxWorkers: cpus().length,
          // This lane yields to the others, so a limit on the wall clock must be a generous one.
          testTimeout: 900_000,
          hookTimeout: 900_000,
          expect: { poll: { timeout: 20_000 } },
        },
      },
      ...benchLanes.map(bench),
    ],
  },
});
