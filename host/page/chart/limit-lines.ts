import type uPlot from 'uplot';
import type { ProbeNow } from '../../serve/now.js';
import { chartFont } from '../look/chart-font.js';
import { toReader } from '../look/degrees.js';
import { ink } from '../look/palette.js';

type Limited = Pick<ProbeNow, 'limits'>;
type Line = { readonly kind: 'warning' | 'alarm'; readonly at: number };

/** The limits of these probes in the reader's unit, each value once. */
export const limitLines = (probes: readonly Limited[]): readonly Line[] => {
  const lines = new Map<string, Line>();
  for (const { limits } of probes)
    for (const kind of ['warning', 'alarm'] as const) {
      const limit = limits[kind];
      if (limit) lines.set(`${kind}${limit.raiseAtC}`, { kind, at: toReader(limit.raiseAtC) });
    }
  return [...lines.values()];
};

/** Alarm and warning limits as lines across the chart, named at their right end. */
export const drawLimits = (chart: uPlot, lines: readonly Line[]): void => {
  const { ctx, bbox } = chart;
  const px = devicePixelRatio || 1;
  ctx.save();
  ctx.font = chartFont.replace('13px', `${12 * px}px`);
  ctx.textAlign = 'right';
  for (const { kind, at } of lines) {
    const y = chart.valToPos(at, 'y', true);
    if (y < bbox.top || y > bbox.top + bbox.height) continue;
    const colour = ink(kind === 'alarm' ? '--alarm-line' : '--warning-line');
    ctx.strokeStyle = colour;
    ctx.fillStyle = colour;
    ctx.lineWidth = (kind === 'alarm' ? 2 : 1.5) * px;
    ctx.setLineDash(kind === 'alarm' ? [] : [6 * px, 4 * px]);
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
    ctx.fillText(`${kind} ${Math.round(at)}`, bbox.left + bbox.width - 4 * px, y - 5 * px);
  }
  ctx.restore();
};
