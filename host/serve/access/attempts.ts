/** Wrong answers allowed before a wait, and how long one wrong answer counts. */
const allowed = 5;
const countsForMs = 60_000;
/** Bound of the memory: with more addresses than this the oldest is forgotten, and the limit over all still holds. */
const mostAddresses = 1_000;
const allowedOverAll = 30;

/** Whether a request comes from a program on this computer. */
export const isThisComputer = (address: string): boolean =>
  /^(::1|(::ffff:)?127\.\d+\.\d+\.\d+)$/.test(address);

/** A program here can take any of 16 million addresses; they share one limit. */
const keyOf = (address: string): string => (isThisComputer(address) ? 'this computer' : address);

/**
 * Slows guessing. Our own, because a right answer must take back its try and all addresses share a second limit: five wrong answers a minute from one address, thirty from
 * all together. This computer, whatever its address, has its own five and no part in the second limit: others on the network cannot lock
 * out the person who uses it. A try counts from the moment
 * it is made and is taken back when it was right, so that a hundred at once are no more than a hundred in a row.
 * Monotonic milliseconds in.
 */
export class Attempts {
  readonly #counted = new Map<string, number[]>();
  #overAll: number[] = [];

  /** Seconds until another try is listened to; 0 when this one is, and then it counts. */
  begin(address: string, nowMs: number): number {
    const key = keyOf(address);
    const own = fresh(this.#counted.get(key) ?? [], nowMs);
    this.#overAll = fresh(this.#overAll, nowMs);
    const isHere = isThisComputer(address);
    const overAllS = isHere ? 0 : waitOf(this.#overAll, allowedOverAll, nowMs);
    const waitS = Math.max(waitOf(own, allowed, nowMs), overAllS);
    if (waitS > 0) return waitS;
    if (!isHere) this.#overAll.push(nowMs);
    this.#counted.delete(key);
    this.#counted.set(key, [...own, nowMs]);
    const oldest = this.#counted.keys().next().value;
    if (this.#counted.size > mostAddresses && oldest !== undefined) this.#counted.delete(oldest);
    return 0;
  }

  /** The try that began at `begunMs` was right. */
  right(address: string, begunMs: number): void {
    const overAll = isThisComputer(address) ? [] : this.#overAll;
    for (const times of [this.#counted.get(keyOf(address)) ?? [], overAll]) {
      const index = times.indexOf(begunMs);
      if (index >= 0) times.splice(index, 1);
    }
  }
}

const fresh = (times: readonly number[], nowMs: number): number[] =>
  times.filter((t) => nowMs - t < countsForMs);

const waitOf = (times: readonly number[], most: number, nowMs: number): number => {
  const first = times[times.length - most];
  return first === undefined ? 0 : Math.ceil((first + countsForMs - nowMs) / 1000);
};
