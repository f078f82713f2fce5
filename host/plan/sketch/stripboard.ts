import type { MissingPulseParts } from '../missing-pulse.js';
import { feedDiode } from './missing-pulse.js';
import { circle, note, overhang, type Point, shape, sketch, text, wire } from './svg.js';
import { microfarads, ohmsText } from './value-text.js';

/** Every net of the missing-pulse circuit and the lamp has a strip of its own, so no strip is ever cut. The feeds come first. */
export const stripsFor = (feeds: readonly string[]): readonly string[] => [
  ...feeds.map((name, index) => `F${index + 1}: ${name}`),
  '12 V: buzzer +, lamp +',
  'buzzer −',
  'gate of Q2',
  'base of Q1',
  'C2 +',
  'C1 −',
  'C1 +',
  'heartbeat pin',
  '0 V of board, battery minus',
  'gate of Q3',
  'buzzer pin',
  'gate of Q4',
  'lamp pin',
  'lamp −',
];

/** A part and the strips that its legs go to: for a diode anode then cathode, for an electrolytic plus then minus. */
export type Placed = { readonly name: string; readonly value: string; readonly legs: readonly number[] };

/** Which legs go where; Q4 switches the lamp. Legs of transistors: drain, gate, source, or collector, base, emitter. */
export const stripboardParts = (parts: MissingPulseParts, feeds: readonly string[]): readonly Placed[] => [
  ...feeds.map((_, index) => ({
    name: feedDiode(index),
    value: '1N4007',
    legs: [index, feeds.length],
  })),
  ...behindTheFeeds(parts).map(({ legs, ...part }) => ({
    ...part,
    legs: legs.map((strip) => strip + feeds.length - countedFeeds),
  })),
];

/** The strips below are counted as on a board with three feeds. */
const countedFeeds = 3;
const behindTheFeeds = (parts: MissingPulseParts): readonly Placed[] => [
  { name: 'C3', value: '100 µF', legs: [3, 11] },
  { name: 'D8', value: '18 V', legs: [11, 3] },
  { name: 'D6', value: '1N4007', legs: [4, 3] },
  { name: 'R4', value: ohmsText(parts.gateOhms), legs: [3, 5] },
  { name: 'D3', value: '15 V', legs: [11, 5] },
  { name: 'Q2', value: 'D G S', legs: [4, 5, 11] },
  { name: 'Q1', value: 'C B E', legs: [5, 6, 11] },
  { name: 'R2', value: ohmsText(parts.baseOhms), legs: [6, 7] },
  { name: 'R3', value: ohmsText(parts.bleedOhms), legs: [6, 11] },
  { name: 'C2', value: microfarads(parts.holdFarads), legs: [7, 11] },
  { name: 'D2', value: '1N4148', legs: [8, 7] },
  { name: 'D1', value: '1N4148', legs: [11, 8] },
  { name: 'R5', value: ohmsText(parts.drainOhms), legs: [8, 11] },
  { name: 'C1', value: microfarads(parts.pumpFarads), legs: [9, 8] },
  { name: 'R1', value: '1 kΩ', legs: [9, 10] },
  { name: 'Q3', value: 'D G S', legs: [4, 12, 11] },
  { name: 'R6', value: '100 kΩ', legs: [12, 11] },
  { name: 'R7', value: '1 kΩ', legs: [12, 13] },
  { name: 'Q4', value: 'D G S', legs: [16, 14, 11] },
  { name: 'R8', value: '100 kΩ', legs: [14, 11] },
  { name: 'R9', value: '1 kΩ', legs: [14, 15] },
];

const pitch = { x: 32, y: 24 };
const origin: Point = [210, 96];
const hole = (column: number, strip: number): Point => [
  origin[0] + pitch.x * (column + 0.5),
  origin[1] + pitch.y * strip,
];

const drawn = ({ name, value, legs }: Placed, column: number): string => {
  const points = legs.map((strip) => hole(column, strip));
  const top = Math.min(...legs);
  const bottom = Math.max(...legs);
  const [from, to] = points as [Point, Point];
  const isDiode = name.startsWith('D');
  const isElectrolytic = name.startsWith('C');
  const mark = isDiode
    ? shape(`M${to[0] - 7} ${to[1] + (from[1] > to[1] ? 8 : -8)} h14`)
    : isElectrolytic
      ? text([from[0] + 5, from[1] + (to[1] > from[1] ? 14 : -6)], '+', { size: 12, bold: true })
      : '';
  return (
    wire(hole(column, top), hole(column, bottom)) +
    points.map((point) => circle(point, 4, '#1b2733')).join('') +
    (legs.length === 3
      ? points
          .map((point, leg) => text([point[0] + 6, point[1] - 4], value.split(' ')[leg] ?? '', { size: 11 }))
          .join('')
      : mark) +
    text([hole(column, 0)[0], 56], name, { anchor: 'middle', size: 12, bold: true })
  );
};

/** The missing-pulse circuit and the lamp's transistor on stripboard, seen from the side of the parts; strips run across. */
export const stripboardSketch = (parts: MissingPulseParts, feeds: readonly string[]): string => {
  const strips = stripsFor(feeds);
  const placed = stripboardParts(parts, feeds);
  const width = origin[0] + pitch.x * placed.length + 40;
  return sketch(
    {
      width,
      leftOf: overhang(strips, origin[0] - 12, { size: 12 }),
      height: origin[1] + pitch.y * strips.length + 40,
      title: 'The missing-pulse circuit and the lamp on stripboard, seen from the side of the parts',
      description: `${strips.length} strips run across, one for each net, and none is cut. ${placed
        .map(({ name, legs }) => `${name}: ${legs.map((strip) => strips[strip]).join(' to ')}.`)
        .join(' ')}`,
    },
    [
      ...strips.map((name, strip) => {
        const y = hole(0, strip)[1];
        return (
          `<rect x="${origin[0]}" y="${y - 7}" width="${pitch.x * placed.length}" height="14" fill="#f3e2cf"/>` +
          text([origin[0] - 12, y + 4], name, { anchor: 'end', size: 12 })
        );
      }),
      ...placed.map(drawn),
      note(
        [20, origin[1] + pitch.y * strips.length + 22],
        [
          'Dots are legs. The bar across a diode is its ring (cathode), + the plus of an electrolytic. D, G, S: drain, gate, source. C, B, E: collector, base, emitter.',
        ],
      ),
      ...placed.map(({ value, legs }, column) =>
        legs.length === 3
          ? ''
          : `<text transform="translate(${hole(column, 0)[0] + 4} ${origin[1] - 10}) rotate(-32)" font-size="10" fill="#66727d">${value}</text>`,
      ),
    ],
  );
};
