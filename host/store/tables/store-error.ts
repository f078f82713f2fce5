/** What can be wrong with the file on disk; the message says where and what to do. */
const errorCategory = {
  'folder-not-writable': 'could-not',
  'not-a-store': 'could-not',
  'store-damaged': 'could-not',
  'store-too-new': 'could-not',
  'no-store': 'could-not',
  'store-busy': 'could-not',
  'unknown-probe': 'asked-wrongly',
  'bad-span': 'asked-wrongly',
  'bad-history': 'asked-wrongly',
  'other-quantity': 'asked-wrongly',
} as const;

export type StoreErrorCode = keyof typeof errorCategory;

export class StoreError extends Error {
  readonly code: StoreErrorCode;

  constructor(code: StoreErrorCode, message: string, options?: { readonly cause?: unknown }) {
    super(message, options);
    this.code = code;
  }

  /** Whether the asker must change something, or the world did not allow it. */
  get errorCategory(): 'asked-wrongly' | 'could-not' {
    return errorCategory[this.code];
  }
}
