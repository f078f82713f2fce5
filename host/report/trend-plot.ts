import { niceStep } from '../drawing/nice-step.js';
import type { OfTrip } from '../engine-health/effectiveness.js';
import { day } from '../wording/moments.js';
import { escapeHtml } from './words.js';

const [width, height] = [440, 150];
const frame = { left: 44, right: 10, top: 12, bottom: 24 } as const;
const mostTrips = 60;

/** Trip by trip, 1 as when learned, each with its standard uncertainty doubled. */
export const trendSvg = (title: string, points: readonly OfTrip[], colour: string): string => {
  const shown = points.slice(-mostTrips);
  const [first, last] = [shown[0], shown.at(-1)];
  if (!first || !last || shown.length < 2)
    return `<p class="none">${escapeHtml(title)}: not enough trips yet.</p>`;
  // A wild bar may be cut off; a value never is.
  const reach = ({ uncertainty }: OfTrip) => Math.min(0.2, 2 * uncertainty);
  const low = Math.min(0.95, ...shown.map((p) => p.value - reach(p)));
  const high = Math.max(1.05, ...shown.map((p) => p.value + reach(p)));
  const step = niceStep(high - low, 4);
  const bottom = Math.floor(low / step) * step;
  const top = Math.ceil(high / step) * step;
  const x = (i: number) =>
    frame.left + 6 + (i / (shown.length - 1)) * (width - frame.left - frame.right - 12);
  const y = (v: number) => frame.top + ((top - v) / (top - bottom)) * (height - frame.top - frame.bottom);
  const clip = (v: number) => y(Math.min(top, Math.max(bottom, v))).toFixed(1);
  const marks = Array.from({ length: Math.round((top - bottom) / step) + 1 }, (_, i) => {
    const v = bottom + i * step;
    const one = Math.abs(v - 1) < step / 1000;
    return `<line x1="${frame.left}" x2="${width - frame.right}" y1="${y(v).toFixed(1)}" y2="${y(v).toFixed(1)}" stroke="${one ? '#66727d' : '#dfe4e8'}"/><text x="${frame.left - 5}" y="${(y(v) + 4).toFixed(1)}" text-anchor="end">${v.toFixed(2)}</text>`;
  });
  const dots = shown.map(
    (p, i) =>
      `<line x1="${x(i).toFixed(1)}" x2="${x(i).toFixed(1)}" y1="${clip(p.value - 2 * p.uncertainty)}" y2="${clip(p.value + 2 * p.uncertainty)}" stroke="${colour}" stroke-width="1.6" opacity="0.5"/><circle cx="${x(i).toFixed(1)}" cy="${y(p.value).toFixed(1)}" r="2.6" fill="${colour}"/>`,
  );
  const along = `<text x="${frame.left}" y="${height - 6}">${day(first.at)}</text><text x="${width / 2}" y="${height - 6}" text-anchor="middle">${shown.length} trips</text><text x="${width - frame.right}" y="${height - 6}" text-anchor="end">${day(last.at)}</text>`;
  return `<figure><figcaption>${escapeHtml(title)}</figcaption><svg viewBox="0 0 ${width} ${height}" role="img" aria-label="${escapeHtml(title)}, last ${last.value.toFixed(2)}"><g font-size="11" fill="#40484f">${marks.join('')}${along}</g>${dots.join('')}</svg></figure>`;
};
