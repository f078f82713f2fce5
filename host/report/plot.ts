import { dayColours, type LineCode, limitCode } from '../drawing/line-code.js';
import { niceStep } from '../drawing/nice-step.js';
import type { Envelope, Span } from '../store/index.js';
import type { Degrees } from '../wording/degrees.js';
import { timeOfDay } from '../wording/moments.js';
import { escapeHtml } from './words.js';

export type Trace = {
  readonly label: string;
  readonly style: LineCode;
  readonly envelope: Envelope;
};

export type Plot = {
  readonly title: string;
  readonly span: Span;
  readonly traces: readonly Trace[];
  /** Limits drawn across. */
  readonly limits: readonly {
    readonly kind: keyof typeof limitCode;
    readonly label: string;
    readonly atC: number;
  }[];
  /** Spans shaded behind: active alerts. */
  readonly shaded: readonly Span[];
};

const [width, height] = [920, 300];
/** What is short in a long span still has ink. */
const narrowest = 1.5;
const frame = { left: 52, right: 150, top: 18, bottom: 34 } as const;

const timeSteps = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 10_080, 43_200].map(
  (m) => m * 60_000,
);

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const timeLabel = (at: number, stepMs: number): string => {
  const d = new Date(at);
  return stepMs >= 86_400_000 ? `${d.getDate()} ${months[d.getMonth()]}` : timeOfDay(at);
};

/** Local midnight and full hours make better marks than those of Greenwich. */
const timeMarks = ({ from, to }: Span): { readonly at: number; readonly label: string }[] => {
  const stepMs = timeSteps.find((step) => (to - from) / step <= 9) ?? (timeSteps.at(-1) as number);
  const offset = new Date(from).getTimezoneOffset() * 60_000;
  const marks = [];
  for (let at = Math.ceil((from - offset) / stepMs) * stepMs + offset; at <= to; at += stepMs)
    marks.push({ at, label: timeLabel(at, stepMs) });
  return marks;
};

/** One picture of one to four probes over time: the mean as a line, the span of each bucket as a band, gaps as gaps. */
export const plotSvg = ({ title, span, traces, limits, shaded }: Plot, degrees: Degrees): string => {
  const values = traces.flatMap(({ envelope }) =>
    [...envelope.minC, ...envelope.maxC].flatMap((c) => (c === undefined ? [] : degrees.point(c))),
  );
  if (values.length === 0) return `<p class="none">${escapeHtml(title)}: no readings in this span.</p>`;
  const low = Math.min(...values);
  const high = Math.max(...values);
  // A limit far above the readings would press them flat; it is named in the table all the same.
  const near = limits
    .map(({ kind, label, atC }) => ({ ...limitCode[kind], label, at: degrees.point(atC) }))
    .filter(({ at }) => at <= high + Math.max(degrees.span(20), 0.5 * (high - low)));
  const step = niceStep(Math.max(degrees.span(4), Math.max(high, ...near.map((l) => l.at)) - low) * 1.05, 6);
  const bottom = Math.floor(low / step) * step;
  const top = Math.ceil((Math.max(high, ...near.map((l) => l.at)) + step * 0.1) / step) * step;
  const x = (at: number) =>
    frame.left + ((at - span.from) / (span.to - span.from)) * (width - frame.left - frame.right);
  const y = (c: number) => frame.top + ((top - c) / (top - bottom)) * (height - frame.top - frame.bottom);
  const right = width - frame.right;
  const floor = height - frame.bottom;
  const clip = (at: number) => Math.min(right, Math.max(frame.left, x(at)));

  const grid: string[] = [`<text x="${frame.left - 6}" y="11" text-anchor="end">${degrees.sign}</text>`];
  for (let c = bottom; c <= top + step / 2; c += step)
    grid.push(
      `<line x1="${frame.left}" x2="${right}" y1="${y(c).toFixed(1)}" y2="${y(c).toFixed(1)}" stroke="#dfe4e8"/>`,
      `<text x="${frame.left - 6}" y="${(y(c) + 4).toFixed(1)}" text-anchor="end">${Math.round(c * 10) / 10}</text>`,
    );
  for (const { at, label } of timeMarks(span))
    grid.push(
      `<line x1="${x(at).toFixed(1)}" x2="${x(at).toFixed(1)}" y1="${floor}" y2="${floor + 5}" stroke="#66727d"/>`,
      `<text x="${x(at).toFixed(1)}" y="${floor + 19}" text-anchor="middle">${label}</text>`,
    );
  const shades = shaded.map(
    ({ from, to }) =>
      `<rect x="${clip(from).toFixed(1)}" y="${frame.top}" width="${Math.max(2, clip(to) - clip(from)).toFixed(1)}" height="${floor - frame.top}" fill="#f6c9c4" opacity="0.55"/>`,
  );
  // The letters are above their line; under it where another limit is close above.
  const named = near.map(({ at }) => {
    const crowded = near.some((other) => other.at > at && y(at) - y(other.at) < 16);
    return y(at) + (crowded ? 13 : -4);
  });
  const across = near.map(
    ({ label, at, dayColour, dash, width: thick }, i) =>
      `<line x1="${frame.left}" x2="${right}" y1="${y(at).toFixed(1)}" y2="${y(at).toFixed(1)}" stroke="${dayColour}" stroke-width="${thick}"${dashed(dash)}/><text x="${frame.left + 6}" y="${(named[i] ?? 0).toFixed(1)}" fill="${dayColour}">${escapeHtml(label)}</text>`,
  );
  const heightOf = (c: number) => y(degrees.point(c));
  const lastHeight = ({ meanC }: Envelope) => {
    const last = meanC.findLast((c) => c !== undefined);
    return last === undefined ? floor : heightOf(last);
  };
  const ends = spread(
    traces.map(({ envelope }) => lastHeight(envelope)),
    16,
  );
  const drawn = traces.map((trace, i) =>
    traceSvg(trace, { x, y: heightOf, right, labelY: ends[i] ?? floor }),
  );
  const spoken = `${title}. ${traces.map((t) => t.label).join(', ')}; from ${Math.round(low)} to ${Math.round(high)} ${degrees.sign}.`;
  return `<svg class="plot" viewBox="0 0 ${width} ${height}" role="img" aria-label="${escapeHtml(spoken)}"><g font-size="12" fill="#40484f">${shades.join('')}${grid.join('')}${across.join('')}</g>${drawn.join('')}</svg>`;
};

const dashed = (dash: readonly number[]): string =>
  dash.length > 0 ? ` stroke-dasharray="${dash.join(' ')}"` : '';

/** Moves labels apart, keeping their order. */
const spread = (at: readonly number[], apart: number): readonly number[] => {
  const order = at.map((value, index) => ({ value, index })).sort((a, b) => a.value - b.value);
  const placed = [...at];
  let last = Number.NEGATIVE_INFINITY;
  for (const { value, index } of order) {
    last = Math.max(value, last + apart);
    placed[index] = last;
  }
  return placed;
};

type Scale = {
  readonly x: (at: number) => number;
  readonly y: (c: number) => number;
  readonly right: number;
  readonly labelY: number;
};

const traceSvg = ({ label, style, envelope }: Trace, { x, y, right, labelY }: Scale): string => {
  const colour = dayColours[style.token];
  const lines: string[] = [];
  const bands: string[] = [];
  let run: number[] = [];
  /** From the start of the first bucket to the end of the last, so that one alone is seen too. */
  const along = (values: readonly (number | undefined)[]): string[] => {
    const place = (at: number, i: number) => `${at.toFixed(1)} ${y(values[i] ?? 0).toFixed(1)}`;
    const [first = 0, last = first] = [run[0], run.at(-1)];
    const startX = x(envelope.at[first] ?? 0);
    const endX = Math.max(startX + narrowest, x((envelope.at[last] ?? 0) + envelope.everyMs));
    return [
      place(startX, first),
      ...run.slice(1, -1).map((i) => place(x((envelope.at[i] ?? 0) + envelope.everyMs / 2), i)),
      place(endX, last),
    ];
  };
  const close = () => {
    if (run.length > 0) {
      lines.push(`M${along(envelope.meanC).join(' L')}`);
      bands.push(`M${[...along(envelope.maxC), ...along(envelope.minC).reverse()].join(' L')} Z`);
    }
    run = [];
  };
  envelope.meanC.forEach((mean, i) => {
    if (mean === undefined) close();
    else run.push(i);
  });
  close();
  return `<path d="${bands.join(' ')}" fill="${colour}" opacity="0.18"/><path d="${lines.join(' ')}" fill="none" stroke="${colour}" stroke-width="${style.width}"${dashed(style.dash)}/><text x="${right + 8}" y="${(labelY + 4).toFixed(1)}" font-size="12" fill="${style.token === '--metal' ? '#40484f' : colour}">${escapeHtml(label)}</text>`;
};
