import { signal } from '@preact/signals';
import { type Degrees, degreesIn, type Scale } from '../../wording/degrees.js';
import { remembered } from './remembered.js';

/** What this person chose in this browser; until then the boat's own choice counts. */
const own = remembered('unit', ['C', 'F', 'boat'] as const, 'boat');
/** The choice kept in the host's settings, sent with every document. */
export const boatScale = signal<Scale>('celsius');

/** What the link that was followed names: it counts while its view is open, and is not kept. */
export const linkedUnit = signal<'C' | 'F' | undefined>(undefined);

/** Everything inside is Celsius; this is where a person reads. */
export const unit = {
  get value(): 'C' | 'F' {
    if (linkedUnit.value) return linkedUnit.value;
    if (own.value !== 'boat') return own.value;
    return boatScale.value === 'celsius' ? 'C' : 'F';
  },
  set value(chosen: 'C' | 'F') {
    linkedUnit.value = undefined;
    own.value = chosen;
  },
};

export const inReader = (): Degrees => degreesIn(unit.value === 'C' ? 'celsius' : 'fahrenheit');
export const unitSign = (): string => inReader().sign;
/** A point on the scale, in the reader's unit. */
export const toReader = (pointC: number): number => inReader().point(pointC);
/** A distance between two points, in the reader's unit: no offset. */
export const spanToReader = (spanC: number): number => inReader().span(spanC);
/** Back from what a person typed. */
export const fromReader = (point: number): number => inReader().pointC(point);

const minus = (text: string) => text.replace('-', '−');
export const degrees = (pointC: number, digits = 1): string => minus(toReader(pointC).toFixed(digits));
export const spanDegrees = (spanC: number, digits = 0): string => {
  const text = spanToReader(spanC).toFixed(digits);
  return minus(Number(text) === 0 ? text.replace('-', '') : text);
};
/** With its unit, for a sentence. */
export const degreesText = (pointC: number, digits = 1): string => `${degrees(pointC, digits)} ${unitSign()}`;
/** Back from a distance a person typed. */
export const spanFromReader = (span: number): number => inReader().spanC(span);
