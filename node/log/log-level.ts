/** How much a log tells: each level tells what those before it do, and more. */
export const logLevels = ['error', 'warn', 'info', 'debug'] as const;
export type LogLevel = (typeof logLevels)[number];
