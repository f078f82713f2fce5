import { defineConfig } from 'vitest/config';
import { type BenchLane, benchLanes, fastFiles, filesOf } from './lanes.js';

/** Files of one bench lane run one after another; the lanes run side by side in processes of their own (run-lanes.ts). */
const bench = (name: BenchLane) => ({
  test: {
    name,
    root: '.',
    include: filesOf(name),
    globalSetup: [
      'tests/bench/system-packages.ts',
      ...(name === 'pages' ? ['tests/bench/page/shared-fixtures.ts'] : []),
    ],
    fileParallelism: false,
    testTimeout: 120_000,
    hookTimeout: 120_000,
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
          testTimeout: 20_000,
        },
      },
      ...benchLanes.map(bench),
    ],
  },
});
