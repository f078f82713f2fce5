import { defineConfig } from 'vitest/config';

/** `fast` runs side by side; `bench` starts emulated boards, servers and browsers, one file at a time. */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'fast',
          root: '.',
          include: ['tests/{house,calibration,node,host}/**/*.test.ts'],
          testTimeout: 20_000,
        },
      },
      {
        test: {
          name: 'bench',
          root: '.',
          include: ['tests/bench/**/*.test.ts'],
          globalSetup: ['tests/bench/system-packages.ts'],
          fileParallelism: false,
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
