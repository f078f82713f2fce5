import pino, { type Logger } from 'pino';
import type { LogLevel } from './log-level.js';
import { terminalLines } from './terminal-lines.js';

/**
 * A log to stderr, in lines for a person, that is silent until something needs one: alerts and warnings, unless asked
 * for more. It goes through the process's own stream, so that a command decides what happens when it is not read.
 */
export const quietLog = (level: LogLevel = 'warn'): Logger => {
  const lineFor = terminalLines();
  return pino(
    { level, base: null, timestamp: pino.stdTimeFunctions.isoTime },
    {
      write: (line: string) => {
        try {
          const said = lineFor(line);
          if (said !== undefined) process.stderr.write(said);
        } catch {
          // A log on a full disk must not end a pass of the guard.
        }
      },
    },
  );
};
