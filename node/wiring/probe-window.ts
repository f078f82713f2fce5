import type { Sampled } from '../input/sample.js';
import { type Measured, type Quality, qualityOf, type Reading, temperatureOf } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';

type Seen = { readonly sampled: Sampled; readonly reading: Reading };

/** How long a look reaches back. */
export const windowMs = 10_000;

/** What one probe gave in the last seconds, and what follows from it. */
export class ProbeWindow {
  private seen: Seen[] = [];
  private unchangedSinceMs: MonotonicMs | undefined;
  private lastRaw: number | undefined;

  add(sampled: Sampled, reading: Reading): void {
    this.seen.push({ sampled, reading });
    const raw = reading.signal?.raw;
    if (raw === undefined || raw !== this.lastRaw) this.unchangedSinceMs = sampled.atMs;
    this.lastRaw = raw;
    const oldest = sampled.atMs - windowMs;
    while (this.seen[0] && this.seen[0].sampled.atMs < oldest) this.seen.shift();
  }

  get last(): Seen | undefined {
    return this.seen.at(-1);
  }

  get quality(): Quality | undefined {
    return this.last && qualityOf(this.last.reading);
  }

  /** Readings a second that have a value. */
  get goodPerS(): number {
    const first = this.seen[0]?.sampled.atMs;
    const last = this.last?.sampled.atMs;
    if (first === undefined || last === undefined || last - first < 500) return 0;
    return (Math.max(0, this.measuredCount - 1) * 1000) / (last - first);
  }

  get meanC(): number | undefined {
    const { temperatures } = this;
    return temperatures.length > 0
      ? temperatures.reduce((sum, c) => sum + c, 0) / temperatures.length
      : undefined;
  }

  /** Standard deviation from one reading to the next, so that a slow change is not taken for noise. */
  get noiseC(): number | undefined {
    const { temperatures } = this;
    if (temperatures.length < 3) return undefined;
    const squares = temperatures
      .slice(1)
      .reduce((sum, c, i) => sum + (c - (temperatures[i] as number)) ** 2, 0);
    return Math.sqrt(squares / (2 * (temperatures.length - 1)));
  }

  /** How often a temperature was there and then was not, or jumped further than any probe can follow. */
  get breaks(): number {
    let breaks = 0;
    this.seen.forEach(({ reading }, i) => {
      const before = this.seen[i - 1]?.reading.result;
      if (before?.kind !== 'measured') return;
      const { result } = reading;
      if (result.kind === 'missing' || stepC(result, before) > jumpC) breaks++;
    });
    return breaks;
  }

  /** Answers of a chip that cannot all be true: another chip's identity, or two readings of one moment that differ. */
  get contradictions(): number {
    return this.seen.filter(
      ({ sampled: { sample } }) => sample.kind === 'nothing' && contradicting.has(sample.fault ?? ''),
    ).length;
  }

  /** Counts that lay too far from their neighbours to be noise. */
  get strays(): number {
    return this.seen.reduce(
      (sum, { sampled: { sample } }) => sum + (sample.kind === 'counts' ? sample.strays : 0),
      0,
    );
  }

  /** For how long the raw quantity has not changed in its last digit. */
  unchangedForMs(nowMs: MonotonicMs): number {
    return this.unchangedSinceMs === undefined ? 0 : nowMs - this.unchangedSinceMs;
  }

  private get measuredCount(): number {
    return this.seen.filter(({ reading }) => reading.result.kind === 'measured').length;
  }

  private get temperatures(): number[] {
    return this.seen.flatMap(({ reading }) => temperatureOf(reading) ?? []);
  }
}

const contradicting: ReadonlySet<string> = new Set([
  'wrong-chip',
  'two-chips',
  'not-settled',
  'repeated-bytes',
  'misconfigured',
]);

/** How far a temperature moved. A pressure or a speed may really jump: a pump stops within a second. */
const stepC = (now: Measured, before: Measured): number =>
  now.quantity === 'temperature' && before.quantity === 'temperature'
    ? Math.abs(now.temperatureC - before.temperatureC)
    : 0;

/** Between two readings, at most 0.25 s apart; the fastest probe of ours moves about 10 C in that time. */
const jumpC = 18;
