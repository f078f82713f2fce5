const blame = { 'address-wrong': 'asked-wrongly' } as const;

export type LinkErrorCode = keyof typeof blame;

export class LinkError extends Error {
  readonly code: LinkErrorCode;

  constructor(code: LinkErrorCode, message: string) {
    super(message);
    this.code = code;
  }

  get blame(): 'asked-wrongly' {
    return blame[this.code];
  }
}
