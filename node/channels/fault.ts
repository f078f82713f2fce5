import type { MissingReason } from '../reading/reading.js';

/** A fault as somebody with a screwdriver needs it: what it is, and what to look at. */
export type Fault = { readonly fault: string; readonly saying: string; readonly check: string };

/** What a missing reading means at one kind of channel, where it means something of its own. */
export type FaultWords = Readonly<Partial<Record<MissingReason, readonly [saying: string, check: string]>>>;
