import pino, { type Logger } from 'pino';

/** A log to stderr that is silent until something needs a person: warnings and up. */
export const quietLog = (level: 'debug' | 'info' | 'warn' | 'error' = 'warn'): Logger =>
  pino(
    { level, base: null, timestamp: pino.stdTimeFunctions.isoTime },
    pino.destination({ dest: 2, sync: true }),
  );
