import type { Engine } from '../../../node/index.js';
import type { File } from './open-file.js';

/** A span in which an engine ran, as its running input said. */
export type RunSpan = {
  readonly node: string;
  readonly engine: Engine;
  readonly startAt: number;
  readonly endAt: number;
};

/** A node reports every few seconds whether an engine runs; a longer silence ends the span at the last report. */
const longestSilenceMs = 60_000;
/**
 * An engine that was reported as stopped begins another span when it starts again. Not so after so short a pause, nor
 * where either run or pause is that of a loose contact: an input that chatters for hours is one run. Common practice,
 * no source; a diesel that stalls is not turning again within 5 s.
 */
const shortestStopMs = 5_000;
const shortestRunMs = 60_000;

/** A span that may continue, and since when the engine has run in it without a stop, however short. */
type Current = { readonly span: RunSpan; readonly runsSinceAt: number };

/** Which engine ran when, from the running inputs. */
export class RunLog {
  private readonly file: File;
  private readonly current = new Map<string, Current>();
  /** The engines whose last report was that they run. */
  private readonly running = new Set<string>();
  /** When each engine was last reported as stopped, not merely unknown. */
  private readonly stoppedAt = new Map<string, number>();

  constructor(file: File) {
    this.file = file;
  }

  /** After a commit that failed: the file's own spans count. */
  reload(): void {
    this.current.clear();
    this.running.clear();
  }

  /** Call inside a transaction, in order of time. */
  take(node: string, at: number, running: Readonly<Record<Engine, boolean>>): void {
    const before = [...this.current.values()].map(({ span }) => span).filter((span) => span.node === node);
    for (const engine of new Set([...Object.keys(running), ...before.map((span) => span.engine)])) {
      const key = `${node} ${engine}`;
      const known = this.current.get(key) ?? this.lastOf(node, engine);
      const near = known && at >= known.span.endAt && at - known.span.endAt <= longestSilenceMs;
      if (running[engine] === true) this.runs(key, near ? known : undefined, { node, engine, at });
      else {
        if (running[engine] === false) {
          this.stoppedAt.set(key, at);
          // It ran until about now: the last report was that it does.
          if (near && this.running.has(key)) this.keep(key, { ...known, span: { ...known.span, endAt: at } });
        }
        this.running.delete(key);
      }
    }
  }

  private runs(
    key: string,
    known: Current | undefined,
    { at, ...who }: Pick<RunSpan, 'node' | 'engine'> & { at: number },
  ): void {
    this.running.add(key);
    const pauseMs = known && this.stoppedSince(key, known.span.endAt) ? at - known.span.endAt : undefined;
    const stops =
      known &&
      pauseMs !== undefined &&
      pauseMs >= shortestStopMs &&
      known.span.endAt - known.runsSinceAt >= shortestRunMs;
    if (!known || stops) this.keep(key, { span: { ...who, startAt: at, endAt: at }, runsSinceAt: at });
    else
      this.keep(key, {
        span: { ...known.span, endAt: at },
        runsSinceAt: pauseMs === undefined ? known.runsSinceAt : at,
      });
  }

  private stoppedSince(key: string, at: number): boolean {
    const stoppedAt = this.stoppedAt.get(key);
    return stoppedAt !== undefined && stoppedAt >= at;
  }

  private keep(key: string, current: Current): void {
    this.current.set(key, current);
    this.add(current.span);
  }

  /** Call inside a transaction. */
  add({ engine, node, startAt, endAt }: RunSpan): void {
    this.file
      .prepare(
        'INSERT INTO run VALUES (?, ?, ?, ?) ON CONFLICT DO UPDATE SET endAt = max(endAt, excluded.endAt)',
      )
      .run(engine, node, startAt, endAt);
  }

  between(engine: Engine, from: number, to: number): readonly RunSpan[] {
    return this.file
      .prepare(
        'SELECT node, engine, startAt, endAt FROM run WHERE engine = ? AND startAt < ? AND endAt > ? ORDER BY startAt',
      )
      .all(engine, to, from) as RunSpan[];
  }

  /** Every engine that has ever been known to run. */
  engines(): readonly Engine[] {
    return this.file.prepare('SELECT DISTINCT engine FROM run ORDER BY engine').pluck().all() as Engine[];
  }

  private lastOf(node: string, engine: Engine): Current | undefined {
    const span = this.file
      .prepare(
        'SELECT node, engine, startAt, endAt FROM run WHERE engine = ? AND node = ? ORDER BY startAt DESC LIMIT 1',
      )
      .get(engine, node) as RunSpan | undefined;
    return span && { span, runsSinceAt: span.startAt };
  }
}
