import { box, circle, lines, type Point, shape, text, wire } from './svg.js';

/** Circuit symbols after IEC 60617: a resistor is a box. All are drawn from one terminal to the other. */

type Label = { readonly name?: string; readonly value?: string; readonly side?: 'left' | 'right' };

const isVertical = (from: Point, to: Point) => from[0] === to[0];
const middleOf = (from: Point, to: Point): Point => [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];

/** Wires from both terminals to a body of this length in the middle. */
const leads = (from: Point, to: Point, bodyLength: number): string => {
  const [x, y] = middleOf(from, to);
  const half = bodyLength / 2;
  if (isVertical(from, to)) {
    const [top, bottom] = from[1] < to[1] ? [from, to] : [to, from];
    return wire(top, [x, y - half]) + wire([x, y + half], bottom);
  }
  const [left, right] = from[0] < to[0] ? [from, to] : [to, from];
  return wire(left, [x - half, y]) + wire([x + half, y], right);
};

/** Name and value beside a vertical part, above a horizontal one. */
const labelled = (from: Point, to: Point, { name, value, side = 'right' }: Label, clear = 14): string => {
  const [x, y] = middleOf(from, to);
  const rows = [name, value].filter((row): row is string => row !== undefined);
  if (!isVertical(from, to))
    return lines([x, y - clear - (rows.length - 1) * 17], rows, { anchor: 'middle' });
  const anchor = side === 'right' ? 'start' : 'end';
  return lines([side === 'right' ? x + clear : x - clear, y + 4 - (rows.length - 1) * 8], rows, { anchor });
};

export const resistor = (from: Point, to: Point, label: Label = {}): string => {
  const [x, y] = middleOf(from, to);
  const body = isVertical(from, to) ? box([x - 7, y - 18], 14, 36) : box([x - 18, y - 7], 36, 14);
  return leads(from, to, 36) + body + labelled(from, to, label, isVertical(from, to) ? 16 : 14);
};

/** A vertical thermistor: a resistor struck through, falling with temperature. */
export const thermistor = (from: Point, to: Point, label: Label = {}): string => {
  const [x, y] = middleOf(from, to);
  return (
    resistor(from, to) +
    shape(`M${x - 22} ${y + 22} h9 L${x + 16} ${y - 22}`) +
    text([x - 32, y + 36], '−t°', { size: 12 }) +
    labelled(from, to, label, 24)
  );
};

export const capacitor = (
  from: Point,
  to: Point,
  label: Label & { readonly polarised?: boolean } = {},
): string => {
  const [x, y] = middleOf(from, to);
  const vertical = isVertical(from, to);
  const plates = vertical
    ? shape(`M${x - 12} ${y - 4} h24 M${x - 12} ${y + 4} h24`)
    : shape(`M${x - 4} ${y - 12} v24 M${x + 4} ${y - 12} v24`);
  // Plus is at the `from` side, wherever that is.
  const sign: Point = vertical
    ? [x - 20, from[1] < to[1] ? y - 8 : y + 18]
    : [from[0] < to[0] ? x - 16 : x + 8, y - 8];
  return (
    leads(from, to, 8) +
    plates +
    (label.polarised ? text(sign, '+', { size: 14 }) : '') +
    labelled(from, to, label, vertical ? 18 : 22)
  );
};

/** Current flows from `from` (anode) to `to` (cathode). */
export const diode = (from: Point, to: Point, label: Label & { readonly zener?: boolean } = {}): string => {
  const [x, y] = middleOf(from, to);
  const turn = isVertical(from, to) ? (from[1] < to[1] ? 90 : -90) : from[0] < to[0] ? 0 : 180;
  const bend = label.zener ? 'M5 -8 l4 -2 M9 -8' : '';
  const body = `<g transform="translate(${x} ${y}) rotate(${turn})">${shape('M-8 -8 L9 0 L-8 8 Z', '#ffffff')}${shape(
    `M9 -8 V8 ${label.zener ? 'M9 -8 h-5 M9 8 h5' : bend}`,
  )}</g>`;
  return leads(from, to, 17) + body + labelled(from, to, label, isVertical(from, to) ? 16 : 18);
};

export const fuse = (from: Point, to: Point, label: Label = {}): string => {
  const [x, y] = middleOf(from, to);
  const body = isVertical(from, to)
    ? box([x - 7, y - 18], 14, 36) + wire([x, y - 18], [x, y + 18])
    : box([x - 18, y - 7], 36, 14) + wire([x - 18, y], [x + 18, y]);
  return leads(from, to, 36) + body + labelled(from, to, label);
};

/** Base at the left of `centre` by 30; collector above and emitter below it at x + 10, 30 away. */
export const npn = ([x, y]: Point, name: string): string =>
  circle([x, y], 20) +
  wire([x - 30, y], [x - 8, y]) +
  shape(`M${x - 8} ${y - 12} V${y + 12}`) +
  wire([x - 8, y - 5], [x + 10, y - 16], [x + 10, y - 30]) +
  wire([x - 8, y + 5], [x + 10, y + 16], [x + 10, y + 30]) +
  shape(`M${x + 9} ${y + 15} l-8 -1 l4 -6 Z`, '#1b2733') +
  text([x + 26, y + 4], name);

/** Gate at the left of `centre` by 30; drain above and source below it at x + 10, 30 away. */
export const nMosfet = ([x, y]: Point, name: string): string =>
  circle([x, y], 20) +
  wire([x - 30, y], [x - 11, y]) +
  shape(
    `M${x - 11} ${y - 11} V${y + 11} M${x - 5} ${y - 13} v7 M${x - 5} ${y - 3.5} v7 M${x - 5} ${y + 6} v7`,
  ) +
  wire([x - 5, y - 10], [x + 10, y - 10], [x + 10, y - 30]) +
  wire([x - 5, y], [x + 10, y], [x + 10, y + 30]) +
  wire([x - 5, y + 10], [x + 10, y + 10]) +
  shape(`M${x - 4} ${y} l7 -4 v8 Z`, '#1b2733') +
  text([x + 26, y + 4], name);

export const ground = ([x, y]: Point): string =>
  wire([x, y], [x, y + 8]) + shape(`M${x - 12} ${y + 8} h24 M${x - 8} ${y + 12} h16 M${x - 4} ${y + 16} h8`);

/** A supply rail's end: a short bar with its voltage above. */
export const supply = ([x, y]: Point, voltage: string): string =>
  shape(`M${x - 12} ${y} h24`) + text([x, y - 6], voltage, { anchor: 'middle' });

/** A point that leads elsewhere: a board pin, a connector. */
export const pin = ([x, y]: Point, name: string, side: 'left' | 'right' = 'left'): string =>
  circle([x, y], 4) +
  text([side === 'left' ? x - 10 : x + 10, y + 4], name, {
    anchor: side === 'left' ? 'end' : 'start',
    bold: true,
  });

/** A module with named terminals down one side or both. */
export const block = (
  [x, y]: Point,
  width: number,
  title: readonly string[],
  terminals: { readonly left?: readonly string[]; readonly right?: readonly string[] },
): { readonly svg: string; readonly left: readonly Point[]; readonly right: readonly Point[] } => {
  const pitch = 26;
  const rows = Math.max(terminals.left?.length ?? 0, terminals.right?.length ?? 0);
  const top = y + 16 + title.length * 17;
  const height = top - y + rows * pitch + 4;
  const spots = (names: readonly string[] | undefined, edge: number): Point[] =>
    (names ?? []).map((_, index) => [edge, top + pitch * (index + 0.4)] as const);
  const left = spots(terminals.left, x);
  const right = spots(terminals.right, x + width);
  const names = [
    ...left.map((p, i) => text([p[0] + 8, p[1] + 4], terminals.left?.[i] ?? '')),
    ...right.map((p, i) => text([p[0] - 8, p[1] + 4], terminals.right?.[i] ?? '', { anchor: 'end' })),
  ];
  const svg = [
    box([x, y], width, height, '#f3f6f8', 4),
    lines([x + width / 2, y + 20], title, { anchor: 'middle', bold: true }),
    ...names,
  ].join('');
  return { svg, left, right };
};
