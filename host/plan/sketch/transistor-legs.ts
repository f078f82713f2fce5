import { lines, note, type Point, shape, sketch, text, wire } from './svg.js';

/** Legs from left to right with the flat side towards the reader. From memory of the makers' data sheets: check yours. */
const kinds = [
  { title: '2N7000', use: 'Q2, Q3, Q4', legs: ['S', 'G', 'D'] },
  { title: 'BC547 class', use: 'Q1', legs: ['C', 'B', 'E'] },
  { title: '2N3904 class', use: 'Q1', legs: ['E', 'B', 'C'] },
] as const;

const drawn = ([x, y]: Point, { title, use, legs }: (typeof kinds)[number]): string =>
  shape(
    `M${x - 34} ${y} V${y - 42} Q${x - 34} ${y - 56} ${x - 20} ${y - 56} H${x + 20} Q${x + 34} ${y - 56} ${x + 34} ${y - 42} V${y} Z`,
    '#e8ecef',
  ) +
  text([x, y - 22], title, { anchor: 'middle', bold: true, size: 12 }) +
  legs
    .map((leg, index) => {
      const legX = x + 22 * (index - 1);
      return wire([legX, y], [legX, y + 44]) + text([legX, y + 60], leg, { anchor: 'middle', bold: true });
    })
    .join('') +
  note([x, y + 82], [use], 'middle');

/** The legs of the transistors in the missing-pulse circuit, flat side towards the reader. */
export const transistorLegsSketch = (): string =>
  sketch(
    {
      width: 620,
      height: 260,
      title: 'Legs of the transistors, flat side towards you',
      description: kinds
        .map(({ title, legs }) => `${title}, from left to right: ${legs.join(', ')}.`)
        .join(' '),
    },
    [
      ...kinds.map((kind, index) => drawn([110 + 200 * index, 120], kind)),
      lines(
        [20, 234],
        [
          'D drain, G gate, S source; C collector, B base, E emitter.',
          'From memory: the data sheet of the part in your hand decides.',
        ],
        {
          size: 11,
          faint: true,
        },
      ),
    ],
  );
