/** How much a log says: each level has what those before it have, and more. */
export const logLevels = ['error', 'warn', 'info', 'debug'] as const;
export type LogLevel = (typeof logLevels)[number];
