/**
 * What the bench offers to the bench commands and the demo season: an emulated board with an invented boat behind it.
 * The emulator and the plant are loaded only when they are called.
 */
import type { KitEngine } from '../kit/engines.js';
import type { Plant, PlantOptions } from './plant/plant.js';
import type { BenchOptions } from './run-bench.js';

export { type BenchBoatName, benchBoats, benchKitYaml } from './bench-kit.js';

/** Starts the emulated board with the invented boat behind it; see `run-bench.ts`. */
export const runBench = async (options: BenchOptions) => (await import('./run-bench.js')).runBench(options);

/** The invented engines of a kit and their sea, for a season of invented history. */
export const makePlant = async (
  engines: readonly KitEngine[],
  options: Omit<PlantOptions<string>, 'engines'>,
): Promise<Plant<string>> => {
  const { Plant } = await import('./plant/plant.js');
  const { typicalEngine, typicalGenerator } = await import('./plant/engine-traits.js');
  const traits = engines.map(({ id, kind }) => [id, kind === 'generator' ? typicalGenerator : typicalEngine]);
  return new Plant<string>({ ...options, engines: Object.fromEntries(traits) });
};
