/**
 * Every way the node ends on purpose, and whose turn it is: `asked-wrongly` is for the person who wrote the settings,
 * `could-not` is for the world (a cable, a port, a disk).
 */
export const nodeErrorCodes = {
  'kit-not-found': 'asked-wrongly',
  'kit-unreadable': 'could-not',
  'settings-wrong': 'asked-wrongly',
  'certificate-wrong': 'asked-wrongly',
  'baseline-not-found': 'asked-wrongly',
  'recording-wrong': 'asked-wrongly',
  'address-wrong': 'asked-wrongly',
  'link-port-in-use': 'could-not',
  'link-could-not-open': 'could-not',
  'health-could-not-open': 'could-not',
  'bench-port-in-use': 'could-not',
} as const;
export type NodeErrorCode = keyof typeof nodeErrorCodes;

/** The message says what, where, the value met and what to do next; the cause keeps the original. */
export class NodeError extends Error {
  readonly code: NodeErrorCode;

  constructor(code: NodeErrorCode, message: string, options?: { cause?: unknown }) {
    super(message, options);
    this.name = 'NodeError';
    this.code = code;
  }

  get errorCategory(): 'asked-wrongly' | 'could-not' {
    return nodeErrorCodes[this.code];
  }
}
