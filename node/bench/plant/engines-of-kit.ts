import type { KitEngine } from '../../kit/engines.js';
import { type EngineTraits, typicalEngine, typicalGenerator } from './engine-traits.js';

const referenceKw = 235;

/** Alike in make and power, unlike in the small things, as any two engines are. */
const unlike: readonly Partial<EngineTraits>[] = [
  {},
  { gasOffsetK: 6, flowFactor: 0.97, thermostatC: 79 },
  { gasOffsetK: -4, flowFactor: 1.02, thermostatC: 77 },
  { gasOffsetK: 3, flowFactor: 0.99, thermostatC: 80 },
];

/** An invented engine for each one of a kit, by id: its kind and rated power from the kit, everything else typical. */
export const enginesOfKit = (engines: readonly KitEngine[]): Readonly<Record<string, EngineTraits>> =>
  Object.fromEntries(
    engines.map(({ id, kind, ratedKw }, i) => {
      const type = kind === 'generator' ? typicalGenerator : typicalEngine;
      const size = ratedKw === undefined ? type.size : ratedKw / referenceKw;
      // Metal goes with the surface, and a small engine has a small elbow.
      const surface = (size / type.size) ** (2 / 3);
      const scaled = {
        ...type,
        size,
        elbowAreaM2: type.elbowAreaM2 * surface,
        flangeWPerK: type.flangeWPerK * surface,
      };
      return [id, { ...scaled, ...unlike[i] }];
    }),
  );
