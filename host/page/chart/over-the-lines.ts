import { limitCode } from '../../drawing/line-code.js';
import { ink } from '../look/palette.js';
import type { LimitLine } from './limit-lines.js';

export const chartFont = (px: number): string => `${px}px Arimo, "Liberation Sans", Arial, sans-serif`;

/** Where the plot is on its canvas, in px. */
export type Frame = {
  readonly context: CanvasRenderingContext2D;
  readonly rem: number;
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly x: (at: number) => number;
  readonly y: (value: number) => number;
};

type Limits = { readonly low: number; readonly high: number; readonly limits: readonly LimitLine[] };

/** Alarm limits solid, warning limits dashed, each named at its right end; below its line where another is close above. */
export const drawLimits = (frame: Frame, { low, high, limits }: Limits): void => {
  const { context, rem, left, width, y } = frame;
  context.font = chartFont(0.75 * rem);
  context.textAlign = 'right';
  context.textBaseline = 'bottom';
  const shown = limits.filter(({ at }) => at >= low && at <= high);
  for (const { kind, at } of shown) {
    const { token, dash, width: thick } = limitCode[kind];
    context.strokeStyle = ink(token);
    context.lineWidth = thick;
    context.setLineDash([...dash]);
    context.beginPath();
    context.moveTo(left, y(at));
    context.lineTo(left + width, y(at));
    context.stroke();
    const isCrowded = shown.some((other) => other.at > at && y(at) - y(other.at) < rem);
    const bottom = isCrowded ? y(at) + 0.95 * rem : y(at) - 2;
    writeWord(frame, `${kind} ${Math.round(at)}`, left + width - 4, bottom, token);
  }
};

export type Post = { readonly at: number; readonly text: string };

/** Work and notes as lines from top to bottom, with a few words beside each where there is room. */
export const drawPosts = (
  frame: Frame,
  { from, to, posts = [] }: { readonly from: number; readonly to: number; readonly posts?: readonly Post[] },
): void => {
  const { context, rem, left, top, width, height, x } = frame;
  context.font = chartFont(0.75 * rem);
  context.textAlign = 'left';
  context.textBaseline = 'bottom';
  let freeFrom = Number.NEGATIVE_INFINITY;
  for (const { at, text } of posts) {
    if (at < from || at > to) continue;
    context.fillStyle = ink('--ink');
    context.fillRect(x(at) - 1, top, 2, height);
    const wide = context.measureText(text).width + 6;
    const start = Math.max(left, Math.min(x(at) + 4, left + width - wide));
    // There is one line of words: what another covers is in the list below the charts.
    if (start < freeFrom) continue;
    freeFrom = start + wide;
    writeWord(frame, text, start, top + 0.95 * rem, '--ink');
  }
};

/** On a ground of paper, so that lines do not run through it. */
const writeWord = ({ context, rem }: Frame, text: string, x: number, bottom: number, token: string): void => {
  const { width } = context.measureText(text);
  const left = context.textAlign === 'right' ? x - width : x;
  context.fillStyle = ink('--paper');
  context.fillRect(left - 2, bottom - 0.8 * rem, width + 4, 0.8 * rem);
  context.fillStyle = ink(token);
  context.fillText(text, x, bottom);
};
