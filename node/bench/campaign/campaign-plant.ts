import type { Ailments } from '../plant/engine-plant.js';
import type { TwinId } from '../plant/twins.js';
import type { World } from '../world.js';

export type Mounting = 'strap-on' | 'well';
export type PlantName = 'first' | 'second';

/** A world that the campaign can put to sea and make ill; both plants are one. */
export type CampaignPlant = World & {
  roughness: number;
  seaC: number;
  readonly engines: Readonly<Record<TwinId, { readonly ailments: Ailments; readonly hoseC: number }>>;
};
