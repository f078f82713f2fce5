const errorCategory = { 'address-wrong': 'asked-wrongly' } as const;

export type LinkErrorCode = keyof typeof errorCategory;

export class LinkError extends Error {
  readonly code: LinkErrorCode;

  constructor(code: LinkErrorCode, message: string) {
    super(message);
    this.code = code;
  }

  get errorCategory(): 'asked-wrongly' {
    return errorCategory[this.code];
  }
}
