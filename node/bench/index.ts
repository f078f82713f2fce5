/**
 * What the bench offers to the bench commands and the demo season: an emulated board with an invented boat behind it.
 * The emulator and the plant are loaded only when they are called.
 */
import type { PlantOptions } from './plant/plant.js';
import type { BenchOptions } from './run-bench.js';

export { benchKitYaml } from './bench-kit.js';

/** Starts the emulated board with the invented boat behind it; see `run-bench.ts`. */
export const runBench = async (options: BenchOptions) => (await import('./run-bench.js')).runBench(options);

/** The two invented engines and their sea, for a season of invented history. */
export const makePlant = async (options: PlantOptions) =>
  new (await import('./plant/plant.js')).Plant(options);
