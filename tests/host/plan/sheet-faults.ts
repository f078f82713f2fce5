type Box = { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };

/** A letter of a sans-serif is about half the type size wide, in bold a little more (common practice, no source). */
const letterEm = (attributes: string) => (attributes.includes('font-weight') ? 0.56 : 0.5);

const wordsOf = (svg: string) =>
  [
    ...svg.matchAll(
      /<text x="(-?[\d.]+)" y="([\d.]+)" font-size="([\d.]+)" text-anchor="(\w+)"([^>]*)>([^<]+)</g,
    ),
  ].map(([, x, y, size, anchor, attributes = '', text = '']) => {
    const [at, px] = [Number(x), Number(size)];
    const wide = letterEm(attributes) * px * text.length;
    const left = anchor === 'end' ? at - wide : anchor === 'middle' ? at - wide / 2 : at;
    return { text, px, anchor, left, right: left + wide, bottom: Number(y) };
  });

/** Words along a slope, all of one sheet along the same: where they are along it and across it. */
const slantedOf = (svg: string) =>
  [
    ...svg.matchAll(
      /<text transform="translate\((-?[\d.]+) (-?[\d.]+)\) rotate\((-?[\d.]+)\)" font-size="([\d.]+)"([^>]*)>([^<]+)</g,
    ),
  ].map(([, x, y, degrees, size, attributes = '', text = '']) => {
    const [atX, atY, px, angle] = [Number(x), Number(y), Number(size), (Number(degrees) * Math.PI) / 180];
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const wide = letterEm(attributes) * px * text.length;
    const from = atX * cos + atY * sin;
    const end = { x: atX + wide * cos, y: atY + wide * sin };
    return { text, px, from, to: from + wide, across: atY * cos - atX * sin, end };
  });

const boxesOf = (svg: string): Box[] =>
  [...svg.matchAll(/<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)" rx/g)].map((match) => {
    const [left = 0, top = 0, width = 0, height = 0] = match.slice(1).map(Number);
    return { left, right: left + width, top, bottom: top + height };
  });

const within = (a: Box, b: Box) =>
  a.left >= b.left && a.right <= b.right && a.top >= b.top && a.bottom <= b.bottom;
const apart = (a: Box, b: Box) =>
  a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;

/** What cannot be read in a drawing: words that leave the sheet or the box they begin in, or that overlap others; boxes on boxes. */
export const sheetFaults = (svg: string): string[] => {
  const faults: string[] = [];
  const [, fullWidth = 0, height = 0] = (/viewBox="0 0 (\d+) (\d+)"/.exec(svg) ?? []).map(Number);
  const shift = Number(/<g transform="translate\((\d+) 0\)">/.exec(svg)?.[1] ?? 0);
  const width = fullWidth - shift;
  const words = wordsOf(svg);
  const boxes = boxesOf(svg);
  const slanted = slantedOf(svg);
  const written = svg.match(/<text/g)?.length ?? 0;
  const looked = words.length + slanted.length;
  if (written === 0 || looked !== written) faults.push(`${looked} of ${written} words can be looked at`);
  for (const [i, { text, px, from, to, across, end }] of slanted.entries()) {
    if (px < 9) faults.push(`${text} is ${px} px`);
    if (end.x < -shift || end.x > width || end.y < 0 || end.y > height)
      faults.push(`${text} leaves the sheet`);
    for (const other of slanted.slice(i + 1))
      if (
        Math.min(to, other.to) - Math.max(from, other.from) > 0 &&
        Math.abs(across - other.across) < 0.8 * Math.min(px, other.px)
      )
        faults.push(`${text} overlaps ${other.text}`);
  }
  for (const [i, { text, px, anchor, left, right, bottom }] of words.entries()) {
    if (px < 9) faults.push(`${text} is ${px} px`);
    if (left < -shift || right > width || bottom - px < 0 || bottom > height)
      faults.push(`${text} leaves the sheet`);
    const home = boxes.find(
      (box) => left > box.left && left < box.right && bottom > box.top && bottom < box.bottom,
    );
    if (anchor === 'start' && home && right > home.right) faults.push(`${text} leaves its box`);
    for (const other of words.slice(i + 1))
      if (
        Math.min(right, other.right) - Math.max(left, other.left) > 0 &&
        Math.abs(bottom - other.bottom) < 0.5 * Math.min(px, other.px)
      )
        faults.push(`${text} overlaps ${other.text}`);
  }
  // A socket may sit on the edge of a board; two blocks may not.
  const blocks = boxes.filter(({ left, right }) => right - left > 100);
  for (const [i, box] of blocks.entries())
    for (const other of blocks.slice(i + 1))
      if (!apart(box, other) && !within(box, other) && !within(other, box))
        faults.push(`the box at ${box.left}, ${box.top} overlaps that at ${other.left}, ${other.top}`);
  return faults;
};
