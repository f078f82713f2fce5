import type { Degrees } from './degrees.js';

const spaced = (bare: string): string => bare.replace(/([a-z0-9])([A-Z])/g, '$1 $2').toLowerCase();

/**
 * One number of an alert's evidence for a person. Names carry their units, so both can be read: `raiseAtC` reads
 * "raise at" with a point on the scale, `riseOverSeaK` "rise over sea" with a distance, `riseCPerS` a rate.
 */
export const evidenceIn = (
  degrees: Degrees,
  unit: string,
  name: string,
  value: number,
): readonly [name: string, text: string] => {
  if (/CPerS$/.test(name))
    return [spaced(name.slice(0, -5)), `${degrees.span(value).toFixed(2)} ${unit} a second`];
  // A sum of degrees over time, which grows while a small difference stays.
  if (/KS$/.test(name))
    return [spaced(name.slice(0, -2)), `${degrees.span(value).toFixed(0)} ${unit} seconds`];
  if (/K$/.test(name) || /(rise|room|residual|difference|over\w*)C$/i.test(name))
    return [spaced(name.slice(0, -1)), `${degrees.span(value).toFixed(1)} ${unit}`];
  if (/C$/.test(name)) return [spaced(name.slice(0, -1)), `${degrees.point(value).toFixed(1)} ${unit}`];
  if (/S$/.test(name)) return [spaced(name.slice(0, -1)), `${Number(value.toFixed(1))} s`];
  return [spaced(name), String(Number(value.toPrecision(4)))];
};
