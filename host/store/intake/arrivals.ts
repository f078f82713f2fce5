import type { NumberedMessage, ReadingRow } from '../../../node/index.js';
import type { Gap } from '../tables/gap-log.js';
import type { Rate, StoredProbe } from '../tables/names.js';

/** What the link delivers, in the order of the node's numbers. */
export type Arrival =
  | { readonly kind: 'message'; readonly numbered: NumberedMessage }
  | { readonly kind: 'gap'; readonly gap: Gap };

/** At one readings message a second, a quarter of an hour; the node's ring holds hours more. */
const most = 900;

/** Arrivals that wait for the next commit. Bounded: past the bound the node keeps its frames instead. */
export class Arrivals {
  private waiting: Arrival[] = [];

  get count(): number {
    return this.waiting.length;
  }

  get isFull(): boolean {
    return this.waiting.length >= most;
  }

  push(arrival: Arrival): void {
    this.waiting.push(arrival);
  }

  all(): readonly Arrival[] {
    return this.waiting;
  }

  clear(): void {
    this.waiting = [];
  }

  /** Readings of one probe in [from, to) that no commit has reached yet, in order of time. */
  rowsOf(probe: StoredProbe, rate: Rate, from: number, to: number): ReadingRow[] {
    const rows: ReadingRow[] = [];
    for (const arrival of this.waiting) {
      if (arrival.kind !== 'message' || arrival.numbered.node !== probe.node) continue;
      const { message } = arrival.numbered;
      if (message.kind !== 'readings' || message.rate !== rate) continue;
      for (const row of message.rows)
        if (row.probe === probe.probe && row.at >= from && row.at < to) rows.push(row);
    }
    return rows.sort((a, b) => a.at - b.at);
  }
}
