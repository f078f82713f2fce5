/** Set by `npm run test:long`, which runs the files that import this and nothing else. */
export const isLong = process.env.ELBOWROOM_FULL !== undefined;

/** How much of a campaign a test runs: a short form in `npm test`, the whole by `npm run test:long`. */
export const shortOrLong = (short: number, long: number): number => (isLong ? long : short);

/** What decides every random draw of a campaign; ELBOWROOM_SEED asks for another. Each campaign prints it. */
export const seed = Number(process.env.ELBOWROOM_SEED ?? 1);
