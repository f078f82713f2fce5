import { twins } from '../../../node/bench/plant/twins.js';
import type { EngineSettings } from '../../../node/guard/settings.js';

/**
 * What the two engines of every boat in the campaign are to each other: compared, or each alone as on a boat with one
 * engine, or each alone and a generator set; or compared, with no input that says whether they run.
 */
export const engineModes = ['twin', 'single', 'generator', 'no-input'] as const;
export type EngineMode = (typeof engineModes)[number];

/** The two engines as the guard's settings have them. */
export const twinSettings = (runningInput: boolean, mode: EngineMode = 'twin'): readonly EngineSettings[] =>
  twins.map((id) => ({
    id,
    name: id,
    kind: mode === 'generator' ? 'generator' : 'propulsion',
    runningInput: runningInput && mode !== 'no-input',
    alike: mode === 'twin' || mode === 'no-input' ? twins.filter((other) => other !== id) : [],
  }));
