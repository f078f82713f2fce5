import type { Quantity } from '../../../node/index.js';
import { isGasPlace } from '../look/words.js';

/** An older host names no quantity: then it is a temperature. */
type Kept = { readonly place: string; readonly quantity?: Quantity | undefined };

export type Panel = {
  readonly title: string;
  readonly quantity: Quantity;
  readonly has: (probe: Kept) => boolean;
};

const of = (title: string, quantity: Quantity, gas = false): Panel => ({
  title,
  quantity,
  has: (probe) => (probe.quantity ?? 'temperature') === quantity && isGasPlace(probe.place) === gas,
});

/** Water and gas never share a pair of axes, nor do two quantities. */
export const panels: readonly Panel[] = [
  of('Water side', 'temperature'),
  of('Exhaust gas', 'temperature', true),
  of('Raw-water pressure', 'pressure'),
  of('Engine speed', 'speed'),
];
