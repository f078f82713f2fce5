/** Every way a thermometry function can refuse. The code is stable; the message says what, where and what to do. */
export type RefusalCode =
  | 'not-a-number'
  | 'below-range'
  | 'above-range'
  | 'ambiguous'
  | 'at-rail'
  | 'not-physical'
  | 'too-few-points'
  | 'no-spread'
  | 'no-convergence'
  | 'bad-certificate'
  | 'newer-version'
  | 'edited-certificate'
  | 'not-settled';

/** Thrown for input that has no true answer; never a guess, never NaN. */
export class ThermometryError extends Error {
  override readonly name = 'ThermometryError';
  readonly code: RefusalCode;

  constructor(code: RefusalCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}

/** Passes a finite number through; names the field otherwise. */
export function finite(value: number, field: string): number {
  if (Number.isFinite(value)) return value;
  throw new ThermometryError('not-a-number', `${field} is not a number (${value}). Give a finite number.`);
}
