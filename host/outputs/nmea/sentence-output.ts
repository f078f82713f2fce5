import type { OutputStatus } from '../../live/output-status.js';

/** Sends NMEA 0183 sentences. `send` never waits and never throws. */
export interface SentenceOutput {
  send(sentences: readonly string[]): void;
  status(): OutputStatus;
  close(): Promise<void>;
}
