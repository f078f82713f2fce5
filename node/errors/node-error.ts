import { type ErrorCategory, RoomError } from '../../calibration/index.js';

/**
 * Every error with which the node ends on purpose, and who can correct it: `usage` is for the person who wrote the settings,
 * `unavailable` is for what surrounds the program (a cable, a port, a disk).
 */
export const nodeErrorCodes = {
  'kit-not-found': 'usage',
  'kit-unreadable': 'unavailable',
  'settings-wrong': 'usage',
  'certificate-wrong': 'usage',
  'baseline-not-found': 'usage',
  'recording-wrong': 'usage',
  'address-wrong': 'usage',
  'link-port-in-use': 'unavailable',
  'link-could-not-open': 'unavailable',
  'health-could-not-open': 'unavailable',
  'bench-port-in-use': 'unavailable',
} as const;
export type NodeErrorCode = keyof typeof nodeErrorCodes;

/** The message says what, where, the value met and what to do next; the cause keeps the original. */
export class NodeError extends RoomError {
  readonly code: NodeErrorCode;

  constructor(code: NodeErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }

  get errorCategory(): ErrorCategory {
    return nodeErrorCodes[this.code];
  }
}
