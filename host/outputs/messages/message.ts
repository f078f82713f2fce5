import type { AlertRow } from '../../../node/index.js';

/** A message to people who are not aboard. */
export type Change =
  | {
      readonly kind: 'raised' | 'worse' | 'ended';
      readonly node: string;
      readonly at: number;
      readonly alert: AlertRow;
    }
  | {
      readonly kind: 'silent' | 'back';
      readonly node: string;
      readonly at: number;
      readonly lastHeardAt?: number;
    };

/** A probe when the message is written. */
export type ProbeNow = {
  readonly node: string;
  readonly probe: string;
  readonly name: string;
  readonly at?: number;
  readonly temperatureC?: number;
  readonly pressureKpa?: number;
  readonly speedRpm?: number;
  readonly quality: string;
  /** Coldest and hottest since the last sign of life. */
  readonly minC?: number;
  readonly maxC?: number;
};

/** What is sent, the same to every destination. Times are wall milliseconds. */
export type Message = {
  /** The same on every attempt, so that a receiver recognises a repetition. */
  readonly id: string;
  readonly kind: 'alerts' | 'sign-of-life' | 'trial';
  readonly at: number;
  readonly boat: string;
  /** An invented boat, such as the bench's. */
  readonly invented: boolean;
  readonly subject: string;
  readonly text: string;
  readonly changes: readonly Change[];
  readonly active: readonly AlertRow[];
  readonly readings: readonly ProbeNow[];
};

/** One recipient. `deliver` resolves when it was taken, and rejects with a reason otherwise. */
export interface Destination {
  /** For a person: `webhook to https://example.org/boat`. */
  readonly name: string;
  deliver(message: Message): Promise<void>;
}
