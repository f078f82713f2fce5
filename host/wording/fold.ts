/** Breaks at blanks; `first` precedes the first line and as much space, or `rest`, before the others. */
export const folded = (
  text: string,
  width: number,
  first = '',
  rest = ' '.repeat(first.length),
): readonly string[] => {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of text.split(/\s+/)) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = rest;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line];
};
