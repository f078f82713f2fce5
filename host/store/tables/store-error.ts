import { type ErrorCategory, RoomError } from '../../../node/index.js';

/** What can be wrong with the file on disk; the message says where and what to do. */
const categories = {
  'folder-not-writable': 'unavailable',
  'not-a-store': 'unavailable',
  'store-damaged': 'unavailable',
  'store-too-new': 'unavailable',
  'no-store': 'unavailable',
  'store-busy': 'unavailable',
  'unknown-probe': 'usage',
  'bad-span': 'usage',
  'bad-history': 'usage',
  'other-quantity': 'usage',
} as const;

export type StoreErrorCode = keyof typeof categories;

export class StoreError extends RoomError {
  readonly code: StoreErrorCode;

  constructor(code: StoreErrorCode, message: string, options?: { readonly cause?: unknown }) {
    super(message, options);
    this.code = code;
  }

  /** Whether the caller must change something, or the system did not allow it. */
  get errorCategory(): ErrorCategory {
    return categories[this.code];
  }
}
