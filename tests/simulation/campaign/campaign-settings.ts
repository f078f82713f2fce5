import type { GuardSettings, ProbeSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { type EngineMode, twinSettings } from './twin-settings.js';

/** The guard's settings for these probes, with running inputs on both engines. */
export const campaignSettings = (
  probes: readonly ProbeSettings[],
  mode: EngineMode = 'twin',
): GuardSettings => ({
  probes,
  engines: twinSettings(true, mode),
  // Warnings are counted as warnings here: there is no crew to acknowledge them.
  escalateAfterS: Number.MAX_SAFE_INTEGER,
  tuning: learnedTuning,
});
