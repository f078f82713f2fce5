import type { Ailments } from '../../../node/bench/plant/ailments.js';
import type { TwinId } from '../../../node/bench/plant/twins.js';
import type { World } from '../../../node/bench/world.js';

export type Mounting = 'strap-on' | 'well';
export const plantNames = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh'] as const;
export type PlantName = (typeof plantNames)[number];

/**
 * A world that the campaign can put to sea and make ill; every plant is one. `flowPart`: the raw water that flows, of what
 * this speed would bring with nothing in its way; 0 when stopped.
 */
export type CampaignPlant = World & {
  roughness: number;
  seaC: number;
  readonly engines: Readonly<
    Record<
      TwinId,
      {
        readonly ailments: Ailments;
        readonly hoseC: number;
        readonly flowPart: number;
        readonly throttle: number;
      }
    >
  >;
};
