import type { EngineSettings } from '../node/guard/settings.js';

/** Two engines that are alike, as the guard is reported of them; `wired` are those with a running input. */
export const twinEngines = (...wired: readonly ('port' | 'starboard')[]): readonly EngineSettings[] => [
  {
    id: 'port',
    name: 'Port',
    kind: 'propulsion',
    runningInput: wired.includes('port'),
    alike: ['starboard'],
  },
  {
    id: 'starboard',
    name: 'Starboard',
    kind: 'propulsion',
    runningInput: wired.includes('starboard'),
    alike: ['port'],
  },
];
