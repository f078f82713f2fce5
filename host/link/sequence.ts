/** What to do with a numbered frame. */
export type Verdict =
  /** The next one: hand it to the store. */
  | { readonly do: 'take' }
  | { readonly do: 'ignore-duplicate' }
  /** Frames before this one are missing: ask for them, and for all that follow, again. */
  | { readonly do: 'ask-again'; readonly fromSeq: number }
  /** The node has gone back as far as it can, and these are no longer there. This frame is the next one now. */
  | { readonly do: 'take-after-gap'; readonly fromSeq: number; readonly toSeq: number };

/**
 * Judges the numbers of one boot of one node. Frames are taken in order without holes, so that one number says
 * all that is stored; the node repeats from any number on request, from what its ring still holds.
 */
export class Sequence {
  takenSeq: number;
  private lastSeen: number;
  private asked = false;
  private damagedSinceAsked = false;

  constructor(takenSeq: number) {
    this.takenSeq = takenSeq;
    this.lastSeen = takenSeq;
  }

  /** A new connection: what was in flight is gone, the node starts at the first frame that is not stored. */
  reconnected(): void {
    this.asked = false;
    this.lastSeen = this.takenSeq;
  }

  /** Whether frames were seen beyond those taken. */
  isBehind(): boolean {
    return this.lastSeen > this.takenSeq;
  }

  /** A frame came that could not be read; if it was one of ours its number will be missing. */
  damaged(): void {
    this.damagedSinceAsked = true;
  }

  judge(seq: number): Verdict {
    const wentBack = seq <= this.lastSeen;
    this.lastSeen = seq;
    const wanted = this.takenSeq + 1;
    if (seq < wanted) return { do: 'ignore-duplicate' };
    if (seq === wanted) return { do: 'take' };
    if (this.asked && wentBack && !this.damagedSinceAsked)
      return { do: 'take-after-gap', fromSeq: wanted, toSeq: seq - 1 };
    return { do: 'ask-again', fromSeq: wanted };
  }

  taken(seq: number): void {
    this.takenSeq = seq;
    this.asked = false;
  }

  /** The request has gone out; until the node goes back, frames still in flight will come first. */
  askedAgain(): void {
    this.asked = true;
    this.damagedSinceAsked = false;
  }
}
