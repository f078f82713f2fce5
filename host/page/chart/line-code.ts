import { engineIndex } from '../link/engines.js';

/**
 * One code for every line on the page and in the report: the engine by its dash (and its colour), the kind of reading by
 * the panel it is in. So engines can be told apart without seeing colours.
 */
export const dashes: readonly (readonly number[])[] = [[], [9, 4], [2, 3], [9, 3, 2, 3]];

export const plain = { token: '--metal', dash: [] as readonly number[], width: 1.5 };

/** How the line of a probe is drawn; what the engines share is thin and solid. */
export const lineCode = (engine: string, place: string): typeof plain => {
  const index = engineIndex(engine);
  if (index < 0) return { ...plain, token: place === 'sea-water' ? '--water' : '--metal' };
  return { token: `--line-${Math.min(index, 3)}`, dash: dashes[index] ?? [], width: 2.5 };
};
