import type { ReadingRow } from '../../node/index.js';

export type RecentPoint = { readonly at: number; readonly temperatureC?: number };

/** Ten minutes: what the live chart shows, and more than the rate needs. */
export const recentSpanMs = 600_000;
/** Bound in points, for a node that sends a whole alert episode at 10 Hz. */
const mostPoints = 6_600;

/** The last ten minutes of each probe, in memory, oldest first. */
export class Recent {
  readonly #points = new Map<string, RecentPoint[]>();

  add(rows: readonly ReadingRow[]): void {
    for (const { probe, at, temperatureC } of rows) {
      const points = this.#points.get(probe) ?? [];
      const last = points.at(-1);
      // A node that sends again after a damaged frame repeats itself; the chart wants each instant once.
      if (last && at <= last.at) continue;
      points.push(temperatureC === undefined ? { at } : { at, temperatureC });
      const tooOld = points.findIndex((p) => p.at > at - recentSpanMs);
      const surplus = Math.max(tooOld, points.length - mostPoints);
      // Shifting one by one would be slow and trimming on every add wasteful.
      if (surplus > 60) points.splice(0, surplus);
      this.#points.set(probe, points);
    }
  }

  of(probe: string): readonly RecentPoint[] {
    return this.#points.get(probe) ?? [];
  }

  probes(): readonly string[] {
    return [...this.#points.keys()];
  }
}
