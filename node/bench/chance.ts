import { makeRandom, type Random } from './plant/random.js';

/** Chance of its own for each named thing under one seed, so that adding a probe does not change another's errors. */
export function chanceFor(seed: number, name: string): Random {
  // FNV-1a, 32 bits (Fowler, Noll, Vo): any hash that spreads short names would do.
  let hash = (0x811c9dc5 ^ seed) >>> 0;
  for (const character of name) hash = Math.imul(hash ^ character.charCodeAt(0), 0x01000193) >>> 0;
  return makeRandom(hash);
}

/** A deviation evenly within plus or minus the tolerance. */
export const deviation = (chance: Random, tolerance: number): number => chance.between(-tolerance, tolerance);
