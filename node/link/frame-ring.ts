/**
 * Where the frames wait for a listener. Bounded in bytes: without a host the node's memory must not grow. What a listener has
 * stored waits only for a second one, and may take a quarter of the room.
 */
export class FrameRing {
  /** Frames lost: they fell out before any listener had stored them. */
  lost = 0;
  private readonly frames = new Map<number, Buffer>();
  private bytes = 0;
  private oldest = 1;
  private next = 1;
  private storedTo = 0;
  private readonly mostBytes: number;

  /** At about 1.3 kB a second for eight probes, 8 MiB hold an hour and three quarters, and 25 minutes of what is stored. */
  constructor(mostBytes = 8 * 1024 * 1024) {
    this.mostBytes = mostBytes;
  }

  /** The oldest sequence number still held; equal to `nextSeq` when the ring is empty. */
  get oldestSeq(): number {
    return this.oldest;
  }

  get nextSeq(): number {
    return this.next;
  }

  /** The first frame that no listener has stored yet: where a new listener starts. */
  get firstUnstoredSeq(): number {
    return Math.max(this.oldest, this.storedTo + 1);
  }

  /** Numbers a frame and keeps it; `encode` is given the number. The newest frame is always kept. */
  push(encode: (seq: number) => string): number {
    const seq = this.next++;
    const text = encode(seq);
    // A copy: a small buffer shares a slab with its neighbours, and would keep those in memory, too.
    const frame = Buffer.allocUnsafeSlow(Buffer.byteLength(text));
    frame.write(text);
    this.frames.set(seq, frame);
    this.bytes += frame.length;
    while (this.bytes > this.mostBytes && this.oldest < seq) this.dropOldest();
    while (this.oldestIsStored && this.bytes > this.mostBytes / 4) this.dropOldest();
    return seq;
  }

  at(seq: number): Buffer | undefined {
    return this.frames.get(seq);
  }

  /** A listener has everything up to and including `seq`. Stored frames stay a while, for another listener. */
  markStored(seq: number): void {
    if (seq < this.next) this.storedTo = Math.max(this.storedTo, seq);
  }

  private get oldestIsStored(): boolean {
    return this.oldest <= this.storedTo;
  }

  private dropOldest(): void {
    const seq = this.oldest++;
    this.bytes -= this.frames.get(seq)?.length ?? 0;
    this.frames.delete(seq);
    if (seq > this.storedTo) this.lost++;
  }
}
