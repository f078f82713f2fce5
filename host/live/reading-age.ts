/** Wires lag and clocks drift; a lag that grows slower than this, in ms a ms, is drift. Ten times what computers do. */
const driftPerMs = 1e-3;

/** What a node says of when a reading was made; `nodeAtMs` is its wall time less the steps of its clock since `boot`. */
type Said = { readonly boot: string; readonly nodeAtMs: number; readonly kept: boolean };

/**
 * When a node's readings were made, though no two clocks need agree: the shortest way a reading took to us in this boot
 * is taken for none, and what is late by that measure is as old as it is late. True to the lag of a good wire, which is
 * milliseconds. After our own start behind a slow wire that is full, the first seconds may seem newer than they are.
 */
export class ReadingAge {
  private boot: string | undefined;
  private shortestMs = 0;
  private lastReceivedMs = 0;

  /** On our monotonic clock; nothing for a reading the node had kept from before this host connected. */
  madeAtMs({ boot, nodeAtMs, kept }: Said, receivedMs: number): number | undefined {
    if (kept && boot !== this.boot) return undefined;
    const lagMs = receivedMs - nodeAtMs;
    const driftMs = (receivedMs - this.lastReceivedMs) * driftPerMs;
    this.shortestMs = boot === this.boot ? Math.min(this.shortestMs + driftMs, lagMs) : lagMs;
    this.boot = boot;
    this.lastReceivedMs = receivedMs;
    return receivedMs - (lagMs - this.shortestMs);
  }
}
