/** Wrong answers allowed before a wait, and how long one wrong answer counts. */
const allowed = 5;
const countsForMs = 60_000;
/** Bound of the memory: with more addresses than this the oldest is forgotten, and the limit over all still holds. */
const mostAddresses = 1_000;
const allowedOverAll = 30;

/** Slows guessing: five wrong answers a minute from one address, thirty from all together. Monotonic milliseconds in. */
export class Attempts {
  readonly #wrong = new Map<string, number[]>();
  #overAll: number[] = [];

  /** Seconds until another try is listened to; 0 now. */
  waitS(address: string, nowMs: number): number {
    const wait = (times: readonly number[], most: number) => {
      const fresh = times.filter((t) => nowMs - t < countsForMs);
      const first = fresh[fresh.length - most];
      return first === undefined ? 0 : Math.ceil((first + countsForMs - nowMs) / 1000);
    };
    return Math.max(wait(this.#wrong.get(address) ?? [], allowed), wait(this.#overAll, allowedOverAll));
  }

  wrong(address: string, nowMs: number): void {
    const fresh = (times: readonly number[]) => [...times.filter((t) => nowMs - t < countsForMs), nowMs];
    this.#overAll = fresh(this.#overAll);
    const own = fresh(this.#wrong.get(address) ?? []);
    this.#wrong.delete(address);
    this.#wrong.set(address, own);
    const oldest = this.#wrong.keys().next().value;
    if (this.#wrong.size > mostAddresses && oldest !== undefined) this.#wrong.delete(oldest);
  }
}
