import { ink } from '../look/palette.js';
import type { LimitLine } from './limit-lines.js';
import { chartFont, drawLimits, drawPosts, type Post } from './over-the-lines.js';
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
  readonly posts?: readonly Post[];
  /** Seconds are counted from a start, and not by the clock. */
  readonly elapsed?: boolean;
};

/** The same in rem as in `chart.css` for the pointer, and in `history.css` for the lane of marks. */
const marginOf = (rem: number) => ({
  left: 2.75 * rem,
  right: 0.625 * rem,
  top: 0.5 * rem,
  bottom: 1.5 * rem,
});
const fontRem = 13 / 16;
const remPx = (): number => Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;

/** Lines over time on a canvas, with round ticks, limits, bands and gaps. Draws on request, and when it is resized. */
export class TimeChart {
  readonly canvas = document.createElement('canvas');
  #picture: Picture | undefined;
  #width = 0;
  #height = 0;
  #rem = 16;
  #margin = marginOf(this.#rem);
  readonly #resized: ResizeObserver;

  constructor(holder: HTMLElement) {
    holder.append(this.canvas);
    const measure = () => {
      this.#rem = remPx();
      this.#margin = marginOf(this.#rem);
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
    const share = (clientX - this.canvas.getBoundingClientRect().left - this.#margin.left) / this.plotWidth;
    const { from = 0, to = 0 } = this.#picture ?? {};
    return { share, at: from + (to - from) * share };
  }

  get plotWidth(): number {
    return Math.max(1, this.#width - this.#margin.left - this.#margin.right);
  }

  /** Pixels from the left edge of the canvas. */
  xOf(at: number): number {
    const { from = 0, to = 1 } = this.#picture ?? {};
    return this.#margin.left + ((at - from) / (to - from)) * this.plotWidth;
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
    context.rect(this.#margin.left, this.#margin.top, this.plotWidth, this.#plotHeight);
    context.clip();
    for (const line of picture.lines) this.#band(context, line, y);
    for (const line of picture.lines) this.#line(context, line, picture, y);
    context.restore();
    const frame = {
      ...{ context, rem: this.#rem, left: this.#margin.left, top: this.#margin.top },
      ...{ width: this.plotWidth, height: this.#plotHeight, x: (at: number) => this.xOf(at), y },
    };
    drawLimits(frame, picture);
    drawPosts(frame, picture);
  }

  get #plotHeight(): number {
    return Math.max(1, this.#height - this.#margin.top - this.#margin.bottom);
  }

  #yOf({ low, high }: Picture): (value: number) => number {
    const perUnit = this.#plotHeight / (high - low);
    return (value) => this.#margin.top + (high - value) * perUnit;
  }

  #axes(
    context: CanvasRenderingContext2D,
    { from, to, low, high, elapsed }: Picture,
    y: (value: number) => number,
  ): void {
    context.font = chartFont(fontRem * this.#rem);
    context.fillStyle = ink('--quiet');
    context.strokeStyle = ink('--hair');
    context.lineWidth = 1;
    context.setLineDash([]);
    context.beginPath();
    context.textAlign = 'right';
    context.textBaseline = 'middle';
    for (const value of valueTicks(low, high, this.#plotHeight / (2 * this.#rem))) {
      context.moveTo(this.#margin.left, y(value));
      context.lineTo(this.#margin.left + this.plotWidth, y(value));
      context.fillText(String(value).replace('-', '−'), this.#margin.left - 6, y(value));
    }
    context.textAlign = 'center';
    context.textBaseline = 'top';
    const ticks = elapsed ? elapsedTicks : timeTicks;
    for (const { at, text } of ticks(from, to, this.plotWidth / (4.9 * this.#rem))) {
      const x = this.xOf(at);
      context.moveTo(x, this.#margin.top);
      context.lineTo(x, this.#margin.top + this.#plotHeight);
      const half = context.measureText(text).width / 2;
      if (x - half > 0 && x + half < this.#width)
        context.fillText(text, x, this.#height - this.#margin.bottom + 6);
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
    // Buckets of the view before, seen from close by, until the new ones come: an all grey chart would be useless.
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

  /** At most one stroke down and up for each pixel, however many readings it shows. */
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
}
