import { box, note, type Point, sketch, text, widthOf, wire } from './svg.js';

/** One line of the sheet: what is out in the boat, the circuit in the enclosure, the terminal of the board. */
export type KitLine = {
  readonly outside: string;
  readonly circuit: string;
  readonly terminal: string;
};

const pitch = 44;
const gap = 40;
/** Columns as wide as their longest words; usual names need no more than the first figure. */
const columnsOf = (kitLines: readonly KitLine[]) => {
  const outsideWidth = Math.max(
    210,
    ...kitLines.map(({ outside }) => widthOf(outside, { size: 12, bold: true }) + 20),
  );
  const circuitWidth = Math.max(330, ...kitLines.map(({ circuit }) => widthOf(circuit, { size: 12 }) + 20));
  const circuit = 20 + outsideWidth + gap;
  return { outside: 20, outsideWidth, circuit, circuitWidth, board: circuit + circuitWidth + gap };
};

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
  const columns = columnsOf(d.kitLines);
  return sketch(
    {
      width: columns.board + boardWidth + 70,
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
          box([row[0], y - 15], columns.outsideWidth, 30, '#ffffff', 4) +
          text([row[0] + 10, y + 5], outside, { bold: true, size: 12 }) +
          wire([row[0] + columns.outsideWidth, y], [columns.circuit, y]) +
          box([columns.circuit, y - 15], columns.circuitWidth, 30, '#f3f6f8', 4) +
          text([columns.circuit + 10, y + 5], circuit, { size: 12 }) +
          wire([columns.circuit + columns.circuitWidth, y], [columns.board, y]) +
          text([columns.board + 12, y + 5], terminal, { bold: true, size: 12 })
        );
      }),
      note(
        [20, bottom + 24],
        [
          'Each circuit has a drawing of its own in this folder: build from those, and tick the lines off here.',
          '5 V and 0 V of the board go to every divider and amplifier.',
          'The 0 V of the board meets the battery minus once, at the missing-pulse circuit.',
          '12 V side: power.svg. Batteries off before you wire; a fuse at every source; 12 V boats only.',
          'This kit does not replace the engine’s own alarms.',
        ],
      ),
    ],
  );
};
