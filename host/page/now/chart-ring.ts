/** Rows of one node share an instant; rows nearer than this are drawn at one x. */
const sameInstantMs = 40;
const spanS = 600;
/** Ten minutes at 10 Hz and some. */
const mostRows = 6_600;
const dropAtOnce = 600;
/** How far back a late row may still find its instant. */
const lookBack = 30;

type Point = number | null | undefined;
/** A value in the unit that is drawn; absent where there was no reading. */
type Row = { readonly probe: string; readonly at: number; readonly value?: number };

/**
 * What the live chart draws: seconds, and one line a probe; `null` breaks a line (no reading), `undefined`
 * passes over it (another node's instant). Bounded, so that a tab left open for a week stays small.
 */
export class ChartRing {
  readonly times: number[] = [];
  readonly lines: readonly Point[][];
  readonly #probes: readonly string[];

  constructor(probes: readonly string[]) {
    this.#probes = probes;
    this.lines = probes.map(() => []);
  }

  add(rows: readonly Row[]): void {
    for (const row of rows) {
      const line = this.lines[this.#probes.indexOf(row.probe)];
      if (!line) continue;
      const index = this.#indexAt(row.at);
      if (index !== undefined) line[index] = row.value ?? null;
    }
    this.#trim();
  }

  /** The lowest and the highest of all lines; 0 and 0 of none. */
  reach(): readonly [low: number, high: number] {
    let [low, high] = [0, 0];
    for (const line of this.lines)
      for (const value of line)
        if (typeof value === 'number') {
          if (value < low) low = value;
          if (value > high) high = value;
        }
    return [low, high];
  }

  clear(): void {
    for (const list of [this.times, ...this.lines]) list.splice(0);
  }

  /** Puts older readings before those that have arrived since. */
  begin(rows: readonly Row[]): void {
    const times = this.times.splice(0);
    const lines = this.lines.map((line) => line.splice(0));
    const firstSince = (times[0] ?? Number.POSITIVE_INFINITY) * 1000 - sameInstantMs;
    this.add(rows.filter((row) => row.at < firstSince));
    this.times.push(...times);
    for (const [index, line] of lines.entries()) this.lines[index]?.push(...line);
  }

  /** The index of this instant, made if it is new; absent for one older than what is drawn. */
  #indexAt(at: number): number | undefined {
    const { times } = this;
    const first = Math.max(0, times.length - lookBack);
    for (let i = times.length - 1; i >= first; i--) {
      const behindMs = at - (times[i] ?? 0) * 1000;
      if (Math.abs(behindMs) < sameInstantMs) return i;
      if (behindMs > 0 && i < times.length - 1) return undefined;
      if (behindMs > 0) break;
      if (i === first) return undefined;
    }
    times.push(at / 1000);
    for (const line of this.lines) line.push(undefined);
    return times.length - 1;
  }

  #trim(): void {
    const { times } = this;
    const oldest = (times.at(-1) ?? 0) - spanS;
    const tooOld = times.findIndex((t) => t >= oldest);
    if (times.length <= mostRows && tooOld < dropAtOnce) return;
    const drop = Math.max(tooOld, times.length - mostRows);
    times.splice(0, drop);
    for (const line of this.lines) line.splice(0, drop);
  }
}
