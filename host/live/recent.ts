import type { ReadingRow } from '../../node/index.js';
import type { Delivery } from './live-source.js';

export type RecentPoint = { readonly at: number; readonly temperatureC?: number };
export type RecentLine = {
  readonly node: string;
  readonly probe: string;
  readonly points: readonly RecentPoint[];
};

/** Ten minutes: what the live chart shows, and more than the rate needs. */
export const recentSpanMs = 600_000;
/** Bound in points, for a node that sends a whole alert episode at 10 Hz. */
const mostPoints = 6_600;

type Line = { readonly node: string; readonly probe: string; points: RecentPoint[] };

/** The last ten minutes of each probe of each node, in memory, oldest first, all by the clock that the node has now. */
export class Recent {
  readonly #lines = new Map<string, Line>();
  readonly #clocks = new Map<string, Pick<Delivery, 'boot' | 'clockSteppedMs'>>();

  add(node: string, rows: readonly ReadingRow[], delivery: Pick<Delivery, 'boot' | 'clockSteppedMs'>): void {
    this.#followClock(node, delivery);
    for (const { probe, at, temperatureC } of rows) {
      const line = this.#lineOf(node, probe);
      const { points } = line;
      const last = points.at(-1);
      // A node that sends again after a damaged frame repeats itself; the chart needs each instant once.
      if (last && at <= last.at) continue;
      points.push(temperatureC === undefined ? { at } : { at, temperatureC });
      const tooOld = points.findIndex((p) => p.at > at - recentSpanMs);
      const surplus = Math.max(tooOld, points.length - mostPoints);
      // Shifting one by one would be slow and trimming on every add wasteful.
      if (surplus > 60) points.splice(0, surplus);
    }
  }

  of(node: string, probe: string): readonly RecentPoint[] {
    return this.#lines.get(`${node} ${probe}`)?.points ?? [];
  }

  lines(): readonly RecentLine[] {
    return [...this.#lines.values()];
  }

  /** A step of the node's clock moves what was before it; at another start of the node the old times mean nothing. */
  #followClock(node: string, { boot, clockSteppedMs }: Pick<Delivery, 'boot' | 'clockSteppedMs'>): void {
    const known = this.#clocks.get(node);
    this.#clocks.set(node, { boot, clockSteppedMs });
    if (!known) return;
    const stepMs = clockSteppedMs - known.clockSteppedMs;
    for (const line of this.#lines.values()) {
      if (line.node !== node) continue;
      if (boot !== known.boot) line.points = [];
      else if (stepMs !== 0) line.points = line.points.map((p) => ({ ...p, at: p.at + stepMs }));
    }
  }

  #lineOf(node: string, probe: string): Line {
    const key = `${node} ${probe}`;
    const line = this.#lines.get(key) ?? { node, probe, points: [] };
    this.#lines.set(key, line);
    return line;
  }
}
