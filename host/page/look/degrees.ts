import { remembered } from './remembered.js';

/** Everything inside is Celsius; this is where a person reads. */
export const unit = remembered('unit', ['C', 'F'] as const, 'C');

export const unitSign = (): string => (unit.value === 'C' ? '°C' : '°F');
/** A point on the scale, in the reader's unit. */
export const toReader = (pointC: number): number => (unit.value === 'C' ? pointC : pointC * 1.8 + 32);
/** A distance between two points, in the reader's unit: no offset. */
export const spanToReader = (spanC: number): number => (unit.value === 'C' ? spanC : spanC * 1.8);
/** Back from what a person typed. */
export const fromReader = (point: number): number => (unit.value === 'C' ? point : (point - 32) / 1.8);

const minus = (text: string) => text.replace('-', '−');
export const degrees = (pointC: number, digits = 1): string => minus(toReader(pointC).toFixed(digits));
export const spanDegrees = (spanC: number, digits = 0): string => {
  const text = spanToReader(spanC).toFixed(digits);
  return minus(Number(text) === 0 ? text.replace('-', '') : text);
};
/** With its unit, for a sentence. */
export const degreesText = (pointC: number, digits = 1): string => `${degrees(pointC, digits)} ${unitSign()}`;
/** Back from a distance a person typed. */
export const spanFromReader = (span: number): number => (unit.value === 'C' ? span : span / 1.8);
