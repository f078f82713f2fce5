import type { Engine } from '../../../node/index.js';
import type { File } from './open-file.js';

/** A span in which an engine ran, as its running input said. */
export type RunSpan = {
  readonly node: string;
  readonly engine: Engine;
  readonly startAt: number;
  readonly endAt: number;
};

/** A node says every few seconds whether an engine runs; a longer silence ends the span at the last word. */
const longestSilenceMs = 60_000;

/** Which engine ran when, from the running inputs. */
export class RunLog {
  private readonly file: File;
  private readonly current = new Map<string, RunSpan>();

  constructor(file: File) {
    this.file = file;
  }

  /** After a commit that failed: the file's own spans count. */
  reload(): void {
    this.current.clear();
  }

  /** Call inside a transaction, in order of time. */
  take(node: string, at: number, running: Readonly<Record<Engine, boolean>>): void {
    const before = [...this.current.values()].filter((span) => span.node === node);
    for (const engine of new Set([...Object.keys(running), ...before.map((span) => span.engine)])) {
      const key = `${node} ${engine}`;
      const known = this.current.get(key) ?? this.lastSpan(node, engine);
      const goesOn = known && at >= known.endAt && at - known.endAt <= longestSilenceMs;
      if (running[engine] !== true) {
        // It ran until about now: the last word was that it does.
        if (running[engine] === false && goesOn && this.current.has(key)) this.add({ ...known, endAt: at });
        this.current.delete(key);
        continue;
      }
      const span = goesOn ? { ...known, endAt: at } : { node, engine, startAt: at, endAt: at };
      this.current.set(key, span);
      this.add(span);
    }
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

  private lastSpan(node: string, engine: Engine): RunSpan | undefined {
    return this.file
      .prepare(
        'SELECT node, engine, startAt, endAt FROM run WHERE engine = ? AND node = ? ORDER BY startAt DESC LIMIT 1',
      )
      .get(engine, node) as RunSpan | undefined;
  }
}
