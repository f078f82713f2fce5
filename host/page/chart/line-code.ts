/**
 * One code for every line on the page and in the report: the engine by its dash (and its colour), the kind of reading by
 * the panel it is in. So engines can be told apart without seeing colours.
 */
export const dashes: readonly (readonly number[])[] = [[], [9, 4], [2, 3], [9, 3, 2, 3]];

/** The dash of an engine by its place in the row, from left to right; shared probes are thin and solid. */
export const dashOf = (index: number): number[] => [...(dashes[index] ?? [])];

/** The colour token of a probe's line. */
export const tokenOf = (index: number, place: string): string =>
  index >= 0 ? `--line-${Math.min(index, 3)}` : place === 'sea-water' ? '--water' : '--metal';
