import { box, lines, type Point, sketch, text, wire } from './svg.js';

/** One line of the sheet: what is out in the boat, the circuit in the enclosure, the terminal of the board. */
export type KitLine = {
  readonly outside: string;
  readonly circuit: string;
  readonly terminal: string;
};

const pitch = 44;
const columns = { outside: 20, circuit: 270, board: 640 } as const;

/** The whole kit's wiring on one sheet; each circuit has a drawing of its own. */
export const wholeKitSketch = (d: {
  readonly title: string;
  readonly board: string;
  readonly kitLines: readonly KitLine[];
}): string => {
  const top = 96;
  const height = pitch * d.kitLines.length;
  const bottom = top + height;
  const boardWidth = 150;
  return sketch(
    {
      width: 860,
      height: bottom + 130,
      title: d.title,
      description: d.kitLines
        .map(({ outside, circuit, terminal }) => `${outside}: ${circuit}, to ${terminal}.`)
        .join(' '),
    },
    [
      text([columns.outside, 66], 'in the boat', { faint: true }),
      text([columns.circuit, 66], 'in the enclosure', { faint: true }),
      text([columns.board, 66], d.board, { bold: true }),
      box([columns.board, top - 18], boardWidth, height + 14, '#e3eef5', 6),
      ...d.kitLines.map(({ outside, circuit, terminal }, index) => {
        const y = top + pitch * index + 10;
        const row: Point = [columns.outside, y];
        return (
          box([row[0], y - 15], 210, 30, '#ffffff', 4) +
          text([row[0] + 10, y + 5], outside, { bold: true, size: 12 }) +
          wire([row[0] + 210, y], [columns.circuit, y]) +
          box([columns.circuit, y - 15], 330, 30, '#f3f6f8', 4) +
          text([columns.circuit + 10, y + 5], circuit, { size: 12 }) +
          wire([columns.circuit + 330, y], [columns.board, y]) +
          text([columns.board + 12, y + 5], terminal, { bold: true, size: 12 })
        );
      }),
      lines(
        [20, bottom + 24],
        [
          'Each circuit has a drawing of its own in this folder: build from those, and tick the lines off here.',
          '5 V and 0 V of the board go to every divider and amplifier.',
          'The 0 V of the board meets the battery minus once, at the missing-pulse circuit.',
          '12 V side: power.svg. Batteries off before you wire; a fuse at every source; 12 V boats only.',
          'This kit does not replace the engine’s own alarms.',
        ],
        { size: 12, faint: true },
      ),
    ],
  );
};
