/** Lines of prose longer than this are hard to read. */
const widestProse = 100;
/** What fits the oldest terminal, and a pipe's reader too. */
const unknownWidth = 80;

/** Columns to fold prose to. */
export const proseWidth = (): number => Math.min(widestProse, terminalWidth());

/** Columns that a table may take. */
export const terminalWidth = (): number => process.stdout.columns || unknownWidth;
