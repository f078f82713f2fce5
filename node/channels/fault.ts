import type { MissingReason } from '../reading/reading.js';

/** A fault for the person who repairs it: what it is, and what to check. */
export type Fault = { readonly fault: string; readonly message: string; readonly check: string };

/** What a missing reading means at one kind of channel, where it means something of its own. */
export type FaultWords = Readonly<Partial<Record<MissingReason, readonly [message: string, check: string]>>>;
