import type { Quantity } from '../../node/index.js';

/** Whether a probe measures temperature; an older node knows nothing else and names no quantity. */
export const isThermometer = ({
  quantity = 'temperature',
}: {
  readonly quantity?: Quantity | undefined;
}): boolean => quantity === 'temperature';
