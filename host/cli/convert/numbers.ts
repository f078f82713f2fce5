import { ThermometryError } from '../../../calibration/index.js';
import { UsageError } from '../exit.js';

const decimal = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/** A decimal number as people and instruments write it; `where` names the option or the line in the error. */
export function numberFrom(text: string, where: string): number {
  const trimmed = text.trim();
  if (decimal.test(trimmed)) return Number(trimmed);
  throw new UsageError(`${where}: "${trimmed}" is not a number. Write it like 4.096 or -1.2e-3.`);
}

/**
 * Runs a conversion; what thermometry refuses becomes a `UsageError` with the place in front. `said` turns
 * its words, which are Celsius, into the reader's degrees, where Celsius is not what the reader typed.
 */
export function refusing<T>(where: string, action: () => T, said = (words: string) => words): T {
  try {
    return action();
  } catch (error) {
    if (error instanceof ThermometryError) {
      throw new UsageError(`${where}: ${said(error.message)}`, { cause: error });
    }
    throw error;
  }
}
