import pino, { type Logger } from 'pino';
import type { LogLevel } from './log-level.js';

/** A log to stderr that is silent until something needs a person: warnings and up, unless asked for more. */
export const quietLog = (level: LogLevel = 'warn'): Logger =>
  pino(
    { level, base: null, timestamp: pino.stdTimeFunctions.isoTime },
    pino.destination({ dest: 2, sync: true }),
  );
