import type { Quantity } from '../../../node/index.js';
import { toReader, unitSign } from './degrees.js';

/** How a person reads a value of each quantity; only temperatures have a choice of unit. */
type Reader = {
  readonly sign: () => string;
  readonly toReader: (value: number) => number;
  readonly digits: number;
};

const same = (value: number): number => value;

const readers: Readonly<Record<Quantity, Reader>> = {
  temperature: { sign: unitSign, toReader, digits: 1 },
  pressure: { sign: () => 'kPa', toReader: same, digits: 1 },
  speed: { sign: () => '1/min', toReader: same, digits: 0 },
};

export const readerOf = (quantity: Quantity): Reader => readers[quantity];

/** A value with its unit, for a sentence. */
export const valueText = (quantity: Quantity, value: number): string => {
  const reader = readerOf(quantity);
  return `${reader.toReader(value).toFixed(reader.digits).replace('-', '−')} ${reader.sign()}`;
};
