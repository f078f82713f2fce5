import type { EngineSettings } from '../../guard/settings.js';
import { twins } from '../plant/twins.js';

/** The two engines of every boat in the campaign, as the guard is told of them. */
export const twinSettings = (runningInput: boolean): readonly EngineSettings[] =>
  twins.map((id) => ({
    id,
    name: id,
    kind: 'propulsion',
    runningInput,
    alike: twins.filter((other) => other !== id),
  }));
