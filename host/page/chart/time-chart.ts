import { limitCode } from '../../drawing/line-code.js';
import { ink } from '../look/palette.js';
import type { LimitLine } from './limit-lines.js';
import { elapsedTicks, timeTicks, valueTicks } from './ticks.js';

type Value = number | null | undefined;

export type Line = {
  /** A colour token. */
  readonly token: string;
  readonly dash: readonly number[];
  readonly width: number;
  /** Seconds, rising. */
  readonly times: readonly number[];
  /** In the reader's unit; `null` breaks the line, `undefined` is passed over. */
  readonly values: readonly Value[];
  /** From the lowest to the highest of each bucket, each `everyS` wide and starting at its time. */
  readonly band?: {
    readonly low: readonly Value[];
    readonly high: readonly Value[];
    readonly everyS: number;
  };
};

export type Picture = {
  readonly from: number;
  readonly to: number;
  readonly low: number;
  readonly high: number;
  readonly lines: readonly Line[];
  readonly limits: readonly LimitLine[];
  /** Work and notes, each at its moment with a few words. */
  readonly posts?: readonly { readonly at: number; readonly text: string }[];
  /** Seconds are counted from a start, and not by the clock. */
  readonly elapsed?: boolean;
};

const margin = { left: 44, right: 10, top: 8, bottom: 24 } as const;
const fontPx = 13;
export const chartFont = (px: number): string => `${px}px Arimo, "Liberation Sans", Arial, sans-serif`;

/** Lines over time on a canvas, with round ticks, limits, bands and gaps. Draws when it is told, and when it is resized. */
export class TimeChart {
  readonly canvas = document.createElement('canvas');
  #picture: Picture | undefined;
  #width = 0;
  #height = 0;
  readonly #resized: ResizeObserver;

  constructor(holder: HTMLElement) {
    holder.append(this.canvas);
    const measure = () => {
      this.#width = holder.clientWidth;
      this.#height = holder.clientHeight;
      if (this.#picture) this.draw(this.#picture);
    };
    measure();
    this.#resized = new ResizeObserver(measure);
    this.#resized.observe(holder);
  }

  destroy(): void {
    this.#resized.disconnect();
    this.canvas.remove();
  }

  /** The share of the plot's width under a pointer, and the moment there in seconds. */
  under(clientX: number): { readonly share: number; readonly at: number } {
    const share = (clientX - this.canvas.getBoundingClientRect().left - margin.left) / this.plotWidth;
    const { from = 0, to = 0 } = this.#picture ?? {};
    return { share, at: from + (to - from) * share };
  }

  get plotWidth(): number {
    return Math.max(1, this.#width - margin.left - margin.right);
  }

  /** Pixels from the left edge of the canvas. */
  xOf(at: number): number {
    const { from = 0, to = 1 } = this.#picture ?? {};
    return margin.left + ((at - from) / (to - from)) * this.plotWidth;
  }

  draw(picture: Picture): void {
    this.#picture = picture;
    const { canvas } = this;
    const ratio = devicePixelRatio || 1;
    const [width, height] = [Math.round(this.#width * ratio), Math.round(this.#height * ratio)];
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    const context = canvas.getContext('2d');
    if (!context || width === 0) return;
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.clearRect(0, 0, this.#width, this.#height);
    const y = this.#yOf(picture);
    this.#axes(context, picture, y);
    context.save();
    context.beginPath();
    context.rect(margin.left, margin.top, this.plotWidth, this.#plotHeight);
    context.clip();
    for (const line of picture.lines) this.#band(context, line, y);
    for (const line of picture.lines) this.#line(context, line, picture, y);
    context.restore();
    this.#limits(context, picture, y);
    this.#posts(context, picture);
  }

  get #plotHeight(): number {
    return Math.max(1, this.#height - margin.top - margin.bottom);
  }

  #yOf({ low, high }: Picture): (value: number) => number {
    const perUnit = this.#plotHeight / (high - low);
    return (value) => margin.top + (high - value) * perUnit;
  }

  #axes(
    context: CanvasRenderingContext2D,
    { from, to, low, high, elapsed }: Picture,
    y: (value: number) => number,
  ): void {
    context.font = chartFont(fontPx);
    context.fillStyle = ink('--quiet');
    context.strokeStyle = ink('--hair');
    context.lineWidth = 1;
    context.setLineDash([]);
    context.beginPath();
    context.textAlign = 'right';
    context.textBaseline = 'middle';
    for (const value of valueTicks(low, high, this.#plotHeight / 32)) {
      context.moveTo(margin.left, y(value));
      context.lineTo(margin.left + this.plotWidth, y(value));
      context.fillText(String(value).replace('-', '−'), margin.left - 6, y(value));
    }
    context.textAlign = 'center';
    context.textBaseline = 'top';
    const ticks = elapsed ? elapsedTicks : timeTicks;
    for (const { at, text } of ticks(from, to, this.plotWidth / 78)) {
      const x = this.xOf(at);
      context.moveTo(x, margin.top);
      context.lineTo(x, margin.top + this.#plotHeight);
      const half = context.measureText(text).width / 2;
      if (x - half > 0 && x + half < this.#width) context.fillText(text, x, this.#height - margin.bottom + 6);
    }
    context.stroke();
  }

  #asideOf(token: string): number {
    const tokens = [...new Set(this.#picture?.lines.map((line) => line.token))].filter((t) => /line/.test(t));
    const index = tokens.indexOf(token);
    return index < 0 ? 0 : (index - (tokens.length - 1) / 2) * 4;
  }

  /** Each bucket as a bar from its lowest to its highest; a lone bucket in a wide view is still seen. */
  #band(
    context: CanvasRenderingContext2D,
    { token, band, times, values }: Line,
    y: (value: number) => number,
  ): void {
    if (!band) return;
    context.fillStyle = ink(token);
    const width = Math.max(3, this.xOf(band.everyS) - this.xOf(0));
    // In a wide view a trip is a bar, and the engines' bars would cover each other.
    const aside = width === 3 ? this.#asideOf(token) : 0;
    // Buckets of the view before, seen from close by, until the new ones come: a wall of grey would say nothing.
    if (width > this.plotWidth / 8) return;
    times.forEach((at, i) => {
      const low = band.low[i];
      const high = band.high[i];
      const mean = values[i];
      if (typeof low !== 'number' || typeof high !== 'number') return;
      const x = this.xOf(at) + aside;
      context.globalAlpha = 0.35;
      context.fillRect(x, y(high), width, Math.max(1, y(low) - y(high)));
      context.globalAlpha = 1;
      // Where no line passes, because both neighbours are empty, the mean has a mark of its own.
      if (typeof mean === 'number' && typeof values[i - 1] !== 'number' && typeof values[i + 1] !== 'number')
        context.fillRect(x, y(mean) - 1, width, 2.5);
    });
  }

  /** At most one stroke down and up for each pixel, however many readings lie under it. */
  #line(
    context: CanvasRenderingContext2D,
    { token, dash, width, times, values, band }: Line,
    { from, to }: Picture,
    y: (value: number) => number,
  ): void {
    const middleS = band && band.everyS > 1 ? band.everyS / 2 : 0;
    context.strokeStyle = ink(token);
    context.lineWidth = width;
    context.setLineDash([...dash]);
    context.lineJoin = 'round';
    context.beginPath();
    const slackS = (to - from) / 20;
    let open = false;
    let pixel = Number.NaN;
    let [lowest, highest, last] = [0, 0, 0];
    const flush = () => {
      if (!open) return;
      if (highest > lowest) {
        context.lineTo(pixel, y(highest));
        context.lineTo(pixel, y(lowest));
      }
      context.lineTo(pixel, y(last));
    };
    for (let i = 0; i < times.length; i++) {
      const at = (times[i] ?? 0) + middleS;
      if (at < from - slackS || at > to + slackS) continue;
      const value = values[i];
      if (value === undefined) continue;
      if (value === null) {
        flush();
        open = false;
        continue;
      }
      const x = Math.round(this.xOf(at) * 2) / 2;
      if (open && x === pixel) {
        lowest = Math.min(lowest, value);
        highest = Math.max(highest, value);
      } else {
        flush();
        if (!open) context.moveTo(x, y(value));
        open = true;
        pixel = x;
        lowest = value;
        highest = value;
      }
      last = value;
    }
    flush();
    context.stroke();
  }

  /** Alarm limits solid, warning limits dashed, each named at its right end; below its line where another is close above. */
  #limits(
    context: CanvasRenderingContext2D,
    { low, high, limits }: Picture,
    y: (value: number) => number,
  ): void {
    context.font = chartFont(12);
    context.textAlign = 'right';
    context.textBaseline = 'bottom';
    const shown = limits.filter(({ at }) => at >= low && at <= high);
    for (const { kind, at } of shown) {
      const { token, dash, width } = limitCode[kind];
      context.strokeStyle = ink(token);
      context.lineWidth = width;
      context.setLineDash([...dash]);
      context.beginPath();
      context.moveTo(margin.left, y(at));
      context.lineTo(margin.left + this.plotWidth, y(at));
      context.stroke();
      const crowded = shown.some((other) => other.at > at && y(at) - y(other.at) < 16);
      const right = margin.left + this.plotWidth - 4;
      this.#word(context, `${kind} ${Math.round(at)}`, right, crowded ? y(at) + 15 : y(at) - 2, token);
    }
  }

  #posts(context: CanvasRenderingContext2D, { from, to, posts = [] }: Picture): void {
    context.font = chartFont(12);
    context.textBaseline = 'bottom';
    context.setLineDash([]);
    let free = Number.NEGATIVE_INFINITY;
    for (const { at, text } of posts) {
      if (at < from || at > to) continue;
      const x = this.xOf(at);
      context.fillStyle = ink('--ink');
      context.fillRect(x - 1, margin.top, 2, this.#plotHeight);
      const width = context.measureText(text).width + 6;
      const left = Math.max(margin.left, Math.min(x + 4, margin.left + this.plotWidth - width));
      // One line is all there is: a note that another covers is in the list below.
      if (left < free) continue;
      free = left + width;
      context.textAlign = 'left';
      this.#word(context, text, left, margin.top + 15, '--ink');
    }
  }

  /** On a ground of paper, so that lines do not run through it. */
  #word(context: CanvasRenderingContext2D, text: string, x: number, bottom: number, token: string): void {
    const { width } = context.measureText(text);
    const left = context.textAlign === 'right' ? x - width : x;
    context.fillStyle = ink('--paper');
    context.fillRect(left - 2, bottom - 13, width + 4, 13);
    context.fillStyle = ink(token);
    context.fillText(text, x, bottom);
  }
}
