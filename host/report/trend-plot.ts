import { escapeHtml } from './words.js';

type Point = { readonly at: number; readonly value: number; readonly uncertainty: number };

const [width, height] = [440, 150];
const frame = { left: 44, right: 10, top: 12, bottom: 24 } as const;

/** Trip by trip, 1 as when learned, each with its standard uncertainty doubled. */
export const trendSvg = (title: string, points: readonly Point[], colour: string): string => {
  const shown = points.slice(-60);
  if (shown.length < 2) return `<p class="none">${escapeHtml(title)}: not enough trips yet.</p>`;
  const reach = Math.max(0.08, ...shown.map((p) => Math.abs(p.value - 1) + Math.min(0.2, 2 * p.uncertainty)));
  const x = (i: number) => frame.left + (i / (shown.length - 1)) * (width - frame.left - frame.right);
  const y = (v: number) => frame.top + ((1 + reach - v) / (2 * reach)) * (height - frame.top - frame.bottom);
  const marks = [1 - reach * 0.8, 1, 1 + reach * 0.8].map(
    (v) =>
      `<line x1="${frame.left}" x2="${width - frame.right}" y1="${y(v).toFixed(1)}" y2="${y(v).toFixed(1)}" stroke="${v === 1 ? '#66727d' : '#dfe4e8'}"/><text x="${frame.left - 5}" y="${(y(v) + 4).toFixed(1)}" text-anchor="end">${v.toFixed(2)}</text>`,
  );
  const dots = shown.map(
    (p, i) =>
      `<line x1="${x(i).toFixed(1)}" x2="${x(i).toFixed(1)}" y1="${y(p.value - 2 * p.uncertainty).toFixed(1)}" y2="${y(p.value + 2 * p.uncertainty).toFixed(1)}" stroke="${colour}" opacity="0.4"/><circle cx="${x(i).toFixed(1)}" cy="${y(p.value).toFixed(1)}" r="2.6" fill="${colour}"/>`,
  );
  const last = shown.at(-1);
  return `<figure><figcaption>${escapeHtml(title)}</figcaption><svg viewBox="0 0 ${width} ${height}" role="img" aria-label="${escapeHtml(title)}, last ${last?.value.toFixed(2)}"><g font-size="11" fill="#40484f">${marks.join('')}<text x="${frame.left}" y="${height - 6}">${shown.length} trips, oldest left</text></g>${dots.join('')}</svg></figure>`;
};
