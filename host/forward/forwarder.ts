import type { Clock } from '../../node/index.js';
import { lineOf, tag } from '../exchange/index.js';
import {
  type Columns,
  type RefusedLine,
  type Resend,
  rowAt,
  type Series,
  type Store,
} from '../store/index.js';
import { type Destination, destinationId } from './destination.js';
import { sendIsolating } from './isolate.js';
import type { Outcome, Uploader } from './uploader.js';

export type ForwardCounters = {
  /** Lines the server has confirmed, those sent a second time included. */
  readonly sent: number;
  /** Lines the server refused one by one, or that were malformed; kept to look at, and skipped. */
  readonly refused: number;
  /** Wall milliseconds of the last confirmed chunk; 0 before the first. */
  readonly lastSentAt: number;
};

export type StepResult =
  | { readonly kind: 'sent'; readonly lines: number }
  | { readonly kind: 'nothing-left' }
  | { readonly kind: 'not-now'; readonly why: string; readonly waitMs: number };

const hourMs = 3_600_000;
const linesInChunk = 5_000;
const shortestWaitMs = 1_000;
const longestWaitMs = 300_000;
/** A wrong token is not corrected within seconds. */
const rejectedWaitMs = 60_000;

type Chunk = {
  readonly lines: readonly string[];
  readonly bad: readonly RefusedLine[];
  readonly through?: ReadonlyMap<number, number>;
  readonly resend?: Resend;
};

/**
 * Uploads what the store holds and the server has not confirmed, a chunk a step. The cursor in the store moves only
 * on a confirmed write, so that an interrupted step is done again.
 */
export class Forwarder {
  private failures = 0;
  /** A line the server has taken; sent once more where it refuses all others, it shows whether line or server is at fault. */
  private knownGood: string | undefined;
  private readonly id: string;
  private readonly moreTags: string;
  private readonly store: Store;
  private readonly upload: Uploader;
  private readonly clock: Clock;

  constructor(store: Store, destination: Destination, upload: Uploader, clock: Clock) {
    this.store = store;
    this.upload = upload;
    this.clock = clock;
    this.id = destinationId(destination);
    this.moreTags = `boat=${tag(destination.boat)},`;
    store.forwardCursor.addDestination(this.id);
  }

  async step(): Promise<StepResult> {
    const chunk = this.newChunk() ?? this.resendChunk();
    if (!chunk) return { kind: 'nothing-left' };
    const result = await sendIsolating(this.upload, chunk.lines, this.knownGood);
    if (result.kind === 'not-now') return this.notNow(result);
    this.failures = 0;
    this.knownGood = result.good ?? this.knownGood;
    const now = this.clock.wallMs();
    const refused = [
      ...chunk.bad,
      ...result.refused.map(({ line, why }) => ({ at: now, line: line.slice(0, 500), why })),
    ];
    const before = this.counters();
    this.store.forwardCursor.confirm(this.id, chunk, refused, {
      sent: before.sent + chunk.lines.length - result.refused.length,
      refused: before.refused + refused.length,
      lastSentAt: now,
    });
    return { kind: 'sent', lines: chunk.lines.length - result.refused.length };
  }

  counters(): ForwardCounters {
    return { sent: 0, refused: 0, lastSentAt: 0, ...this.store.forwardCursor.counters(this.id) };
  }

  /** What is new since the cursor, of as many series as fit. */
  private newChunk(): Chunk | undefined {
    const lines: string[] = [];
    const bad: RefusedLine[] = [];
    const through = new Map<number, number>();
    for (const series of this.store.allSeries()) {
      const from = this.store.forwardCursor.sentThrough(this.id, series.id) + 1;
      for (const columns of this.store.columns(series, from, Number.MAX_SAFE_INTEGER)) {
        const room = linesInChunk - lines.length - bad.length;
        const count = Math.min(room, columns.length);
        this.addLines(series, columns, 0, count, lines, bad);
        if (count > 0) through.set(series.id, columns.at[count - 1] as number);
        if (count === room) return { lines, bad, through };
      }
    }
    return through.size === 0 ? undefined : { lines, bad, through };
  }

  /** An older hour with late rows, whole: the server keeps one of two equal points. */
  private resendChunk(): Chunk | undefined {
    const [resend] = this.store.forwardCursor.resendQueue(this.id, 1);
    if (!resend) return undefined;
    const lines: string[] = [];
    const bad: RefusedLine[] = [];
    const series = this.store.allSeries().find((s) => s.id === resend.series);
    if (series)
      for (const columns of this.store.columns(series, resend.hour * hourMs, (resend.hour + 1) * hourMs))
        this.addLines(series, columns, 0, columns.length, lines, bad);
    return { lines, bad, resend };
  }

  private addLines(
    series: Series,
    columns: Columns,
    start: number,
    end: number,
    lines: string[],
    bad: RefusedLine[],
  ): void {
    const { probe, rate } = series;
    const node = probe.node === undefined ? {} : { node: probe.node };
    const certificates = this.store.certificates();
    for (let i = start; i < end; i++) {
      const line = lineOf(
        { ...node, rate, reading: rowAt(columns, i, { ...probe, probe: probe.name }, certificates) },
        this.moreTags,
      );
      // Some servers answer "stored" to anything at all.
      if (isLine(line)) lines.push(line);
      else bad.push({ at: this.clock.wallMs(), line: line.slice(0, 500), why: 'not a line of the protocol' });
    }
  }

  private notNow({ why, retryAfterMs, status }: Extract<Outcome, { kind: 'not-now' }>): StepResult {
    const backOff = Math.min(shortestWaitMs * 2 ** this.failures++, longestWaitMs);
    const rejected = status !== undefined && status >= 400 && status < 500 && status !== 429;
    const waitMs = retryAfterMs ?? (rejected ? Math.max(backOff, rejectedWaitMs) : backOff);
    return { kind: 'not-now', why, waitMs: Math.min(waitMs, longestWaitMs) };
  }
}

const wellFormed =
  /^reading(,[a-zA-Z]+=(\\[ ,=]|[^\s\\,=])+)+ good=[01](,[a-zA-Z]+=-?\d+(\.\d+)?(e[+-]?\d+)?)* \d{1,22}$/;
const isLine = (line: string): boolean => wellFormed.test(line);

export type ForwardStatus = ForwardCounters & {
  readonly destination: Destination;
  /** Hours with late rows, or asked for again, that wait. */
  readonly hoursToResend: number;
  /** By series: how far the server has it, and what the store holds beyond, in time. */
  readonly series: readonly {
    readonly channel: string;
    readonly rate: string;
    readonly sentThroughAt?: number;
    readonly behindS: number;
  }[];
  readonly refusedLines: readonly RefusedLine[];
};

/** How far the server is behind the store, read from the saved cursor. */
export const forwardStatus = (store: Store, destination: Destination): ForwardStatus => {
  const id = destinationId(destination);
  const series = store.allSeries().map((s) => {
    const sentThroughAt = store.forwardCursor.sentThrough(id, s.id);
    const span = store.spanOf(s);
    const since = sentThroughAt < 0 ? span?.from : sentThroughAt;
    return {
      channel: s.probe.name,
      rate: s.rate,
      ...(sentThroughAt >= 0 && { sentThroughAt }),
      behindS: span && since !== undefined ? (span.to - since) / 1000 : 0,
    };
  });
  return {
    destination,
    sent: 0,
    refused: 0,
    lastSentAt: 0,
    ...store.forwardCursor.counters(id),
    hoursToResend: store.forwardCursor.resendCount(id),
    series,
    refusedLines: store.forwardCursor.refused(id),
  };
};

/** Asks for a span to be sent again, whatever the server holds. The number of hours it comes to. */
export const backfill = (store: Store, destination: Destination, from: number, to: number): number => {
  const id = destinationId(destination);
  store.forwardCursor.addDestination(id);
  return store
    .allSeries()
    .map((series) => store.forwardCursor.queueResendSpan(id, series, store.hoursOf(series, from, to)))
    .reduce((sum, hours) => sum + hours, 0);
};
