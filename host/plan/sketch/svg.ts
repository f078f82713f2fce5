/** A point on a drawing, in pixels from the upper left corner. */
export type Point = readonly [x: number, y: number];

const ink = '#1b2733';
const faint = '#66727d';

const escapeText = (text: string): string =>
  text.replace(/[&<>"]/g, (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[c] ?? c);

const round = (n: number) => String(Math.round(n * 10) / 10);
const at = ([x, y]: Point) => `${round(x)} ${round(y)}`;

/** A line through points, thin enough for a wire. */
export const wire = (...points: readonly Point[]): string =>
  `<polyline points="${points.map(at).join(', ')}" fill="none" stroke="${ink}" stroke-width="1.6"/>`;

/** Like `wire`, in a colour of its own: a thermocouple lead, a supply. */
export const colouredWire = (colour: string, ...points: readonly Point[]): string =>
  `<polyline points="${points.map(at).join(', ')}" fill="none" stroke="${colour}" stroke-width="3" stroke-linejoin="round"/>`;

export const dashed = (...points: readonly Point[]): string =>
  `<polyline points="${points.map(at).join(', ')}" fill="none" stroke="${faint}" stroke-width="1.4" stroke-dasharray="5 4"/>`;

/** Marks two parallel wires, `apart` pixels from each other, as a twisted pair. */
export const twistMark = ([x, y]: Point, apart: number): string =>
  `<path d="M${x} ${y} C${x + 24} ${y} ${x + 24} ${y + apart} ${x + 48} ${y + apart} M${x} ${y + apart} C${x + 24} ${y + apart} ${x + 24} ${y} ${x + 48} ${y}" fill="none" stroke="${faint}" stroke-width="1.2"/>`;

/** Where wires that cross are joined. */
export const joint = ([x, y]: Point): string =>
  `<circle cx="${round(x)}" cy="${round(y)}" r="3.2" fill="${ink}"/>`;

export const box = ([x, y]: Point, width: number, height: number, fill = '#ffffff', corner = 0): string =>
  `<rect x="${round(x)}" y="${round(y)}" width="${round(width)}" height="${round(height)}" rx="${corner}" fill="${fill}" stroke="${ink}" stroke-width="1.6"/>`;

export const circle = ([x, y]: Point, radius: number, fill = '#ffffff'): string =>
  `<circle cx="${round(x)}" cy="${round(y)}" r="${radius}" fill="${fill}" stroke="${ink}" stroke-width="1.6"/>`;

/** A closed shape given as SVG path data. */
export const shape = (path: string, fill = 'none', stroke = ink): string =>
  `<path d="${path}" fill="${fill}" stroke="${stroke}" stroke-width="1.6" stroke-linejoin="round"/>`;

type TextStyle = {
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly size?: number;
  readonly bold?: boolean;
  readonly faint?: boolean;
};
export const text = ([x, y]: Point, words: string, style: TextStyle = {}): string =>
  `<text x="${round(x)}" y="${round(y)}" font-size="${style.size ?? 13}" text-anchor="${style.anchor ?? 'start'}"${
    style.bold ? ' font-weight="600"' : ''
  } fill="${style.faint ? faint : ink}">${escapeText(words)}</text>`;

/** How wide words are at most in any usual font, in pixels: DejaVu Sans, the widest, has 0.58 em a letter, bold 0.65. */
export const widthOf = (words: string, { size = 13, bold = false }: TextStyle = {}): number =>
  Math.ceil(words.length * size * (bold ? 0.67 : 0.6));

/** How far the longest of these words, which end at `endsAt`, reach beyond the left edge of a drawing. */
export const overhang = (names: readonly string[], endsAt: number, style: TextStyle = {}): number =>
  Math.max(0, ...names.map((name) => widthOf(name, style) + 10 - endsAt));

/** Several lines of text, one below the other. */
export const lines = ([x, y]: Point, rows: readonly string[], style: TextStyle = {}): string =>
  rows.map((row, index) => text([x, y + index * (style.size ?? 13) * 1.35], row, style)).join('');

/** Several lines in the small grey print of what is said beside the parts. */
export const note = (at: Point, rows: readonly string[], anchor: TextStyle['anchor'] = 'start'): string =>
  lines(at, rows, { size: 12, faint: true, anchor });

/**
 * A whole drawing. The title and the description are what a screen reader says, so the description says in words
 * what is joined to what.
 */
export const sketch = (
  page: {
    readonly width: number;
    readonly height: number;
    readonly title: string;
    readonly description: string;
    /** Room to the left of the parts, for names that are longer than usual. */
    readonly leftOf?: number;
  },
  parts: readonly string[],
): string => {
  const [width, shift] = [page.width + (page.leftOf ?? 0), page.leftOf ?? 0];
  const body = parts.join('\n');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${page.height}" width="${width}" height="${page.height}" role="img" aria-labelledby="title description" font-family="system-ui, sans-serif">
<title id="title">${escapeText(page.title)}</title>
<desc id="description">${escapeText(page.description)}</desc>
<rect width="${width}" height="${page.height}" fill="#ffffff"/>
${text([20, 28], page.title, { size: 16, bold: true })}
${shift > 0 ? `<g transform="translate(${shift} 0)">\n${body}\n</g>` : body}
</svg>
`;
};
