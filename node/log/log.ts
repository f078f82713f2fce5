import pino, { type Logger } from 'pino';
import type { LogLevel } from './log-level.js';

/**
 * A log to stderr that is silent until something needs a person: warnings and up, unless asked for more. It goes
 * through the process's own stream, so that a command decides what happens when nobody reads it.
 */
export const quietLog = (level: LogLevel = 'warn'): Logger =>
  pino(
    { level, base: null, timestamp: pino.stdTimeFunctions.isoTime },
    {
      write: (line: string) => {
        try {
          process.stderr.write(line);
        } catch {
          // A log on a full disk must not end a pass of the guard.
        }
      },
    },
  );
