import { box, note, overhang, type Point, sketch, text, widthOf, wire } from './svg.js';

/** One pin in use, by its print on the board, and what it is joined to. */
export type UsedPin = { readonly pin: string; readonly use: string };

const pitch = 30;

/** The board from above with the pins that the kit uses; pins that are not used are left out. */
export const boardPinsSketch = (d: {
  readonly title: string;
  readonly board: string;
  readonly left: readonly UsedPin[];
  readonly right: readonly UsedPin[];
}): string => {
  const rows = Math.max(d.left.length, d.right.length);
  const [x, y, width] = [330, 70, 160];
  const height = rows * pitch + 60;
  const row = (side: 'left' | 'right') => (used: UsedPin, index: number) => {
    const at: Point = [side === 'left' ? x : x + width, y + 54 + pitch * index];
    const out = side === 'left' ? -34 : 34;
    return (
      wire(at, [at[0] + out, at[1]]) +
      text([at[0] + (side === 'left' ? 10 : -10), at[1] + 4], used.pin, {
        anchor: side === 'left' ? 'start' : 'end',
        bold: true,
      }) +
      text([at[0] + out + (side === 'left' ? -8 : 8), at[1] + 4], used.use, {
        anchor: side === 'left' ? 'end' : 'start',
      })
    );
  };
  return sketch(
    {
      width: Math.max(820, ...d.right.map(({ use }) => x + width + 42 + widthOf(use) + 10)),
      leftOf: overhang(
        d.left.map(({ use }) => use),
        x - 42,
      ),
      height: y + height + 60,
      title: d.title,
      description: [...d.left, ...d.right].map(({ pin, use }) => `${pin}: ${use}.`).join(' '),
    },
    [
      box([x, y], width, height, '#e3eef5', 6),
      box([x + width / 2 - 26, y - 12], 52, 24, '#d8dde1', 3),
      text([x + width / 2, y + 5], 'USB', { anchor: 'middle', size: 11 }),
      text([x + width / 2, y + 30], d.board, { anchor: 'middle', bold: true }),
      ...d.left.map(row('left')),
      ...d.right.map(row('right')),
      note(
        [20, y + height + 30],
        ['Not to scale; go by the print on the board. Pins that are not shown stay free.'],
      ),
    ],
  );
};
