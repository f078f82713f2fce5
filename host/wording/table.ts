import { folded } from './fold.js';

type Row = readonly string[];
type Shape = {
  /** What the terminal, or the file, has in columns. */
  readonly width: number;
  /** Columns that are set left; the others are set right, as numbers are. */
  readonly left: (column: number) => boolean;
  /** Before each line. */
  readonly indent?: string;
};

/**
 * The first row are the titles. A table that is too wide gets its titles in several lines, then one blank between
 * columns instead of two; what still does not fit goes below, in a table that begins with the first column again.
 */
export const fittedTable = (rows: readonly Row[], { width, left, indent = '' }: Shape): readonly string[] => {
  const [titles = [], ...body] = rows;
  const room = width - indent.length;
  const wide = layOut(titles, body, (title) => [title]);
  const narrow = layOut(titles, body, (title, bodyWidth) =>
    folded(title, Math.max(bodyWidth, ...title.split(' ').map((word) => word.length))),
  );
  const print = (columns: readonly Column[], gap: number) =>
    printed(columns, ' '.repeat(gap), left).map((line) => (indent + line).trimEnd());
  if (widthOf(wide, 2) <= room) return print(wide, 2);
  if (widthOf(narrow, 2) <= room) return print(narrow, 2);
  if (widthOf(narrow, 1) <= room) return print(narrow, 1);
  return parted(narrow, room).flatMap((part, i) => [...(i === 0 ? [] : ['']), ...print(part, 2)]);
};

type Column = {
  readonly at: number;
  readonly titles: readonly string[];
  readonly cells: readonly string[];
  readonly width: number;
};

const layOut = (
  titles: Row,
  body: readonly Row[],
  stacked: (title: string, bodyWidth: number) => readonly string[],
): readonly Column[] =>
  titles.map((title, at) => {
    const cells = body.map((row) => row[at] ?? '');
    const bodyWidth = Math.max(0, ...cells.map((cell) => cell.length));
    const lines = stacked(title, bodyWidth);
    return { at, titles: lines, cells, width: Math.max(bodyWidth, ...lines.map((line) => line.length)) };
  });

const widthOf = (columns: readonly Column[], gap: number): number =>
  columns.reduce((sum, column) => sum + column.width + gap, -gap);

const parted = (columns: readonly Column[], room: number): readonly (readonly Column[])[] => {
  const [first, ...others] = columns;
  if (!first) return [];
  const parts: Column[][] = [[first]];
  for (const column of others) {
    const part = parts[parts.length - 1] as Column[];
    if (part.length === 1 || widthOf([...part, column], 2) <= room) part.push(column);
    else parts.push([first, column]);
  }
  return parts;
};

const printed = (
  columns: readonly Column[],
  gap: string,
  left: (column: number) => boolean,
): readonly string[] => {
  const titleLines = Math.max(0, ...columns.map(({ titles }) => titles.length));
  // Titles rest on their columns: a short one is beside the last line of a long one.
  const titleAt = (line: number) =>
    columns.map(({ titles }) => titles[line - (titleLines - titles.length)] ?? '');
  const bodyLines = columns[0]?.cells.length ?? 0;
  const rows = [
    ...Array.from({ length: titleLines }, (_, line) => titleAt(line)),
    ...Array.from({ length: bodyLines }, (_, row) => columns.map(({ cells }) => cells[row] ?? '')),
  ];
  return rows.map((row) =>
    row
      .map((cell, i) => {
        const { at, width } = columns[i] as Column;
        return left(at) ? cell.padEnd(width) : cell.padStart(width);
      })
      .join(gap),
  );
};
