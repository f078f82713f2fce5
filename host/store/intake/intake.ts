import type { Clock, NodeMessage, NumberedMessage, ReadingRow } from '../../../node/index.js';
import type { Gap } from '../tables/gap-log.js';
import { Arrivals } from './arrivals.js';
import { checkRow } from './check-row.js';
import { keepArrivals, type StoreTables } from './keeping.js';

export type Progress = { readonly node: string; readonly boot: string; readonly seq: number };

/** Why the store cannot write at this moment; it clears by itself once a commit succeeds. */
export type StoreTrouble = { readonly sinceAt: number; readonly message: string };

/** Readings wait this long for their commit; ten seconds wear a memory card several times less than one. */
const commitEveryMs = 10_000;
const retryAfterMs = 5_000;
const sealEveryMs = 1_000;
const sealAgainAfterMs = 60_000;

/** Where messages come in. They wait here, visible to every query, until one commit takes them all. */
export class Intake {
  readonly arrivals = new Arrivals();
  readonly counters = { commits: 0, collisions: 0, refusedRows: 0 };
  private readonly latest = new Map<string, { readonly node: string; readonly row: ReadingRow }>();
  private readonly listeners = new Set<(progress: readonly Progress[]) => void>();
  private lastCommitMs: number;
  private nextSealingMs: number;
  private troubleNow: StoreTrouble | undefined;
  private readonly tables: StoreTables;
  private readonly clock: Clock;
  private readonly path: string;

  constructor(tables: StoreTables, path: string, clock: Clock) {
    this.tables = tables;
    this.path = path;
    this.clock = clock;
    this.lastCommitMs = clock.monotonicMs();
    this.nextSealingMs = this.lastCommitMs;
  }

  /**
   * Takes the next message of a node, in the order of its numbers. It is on disk at the next commit: at once for
   * an alert, a hello or a changed quality, else within ten seconds. False when too much waits already: ask again later.
   */
  take(numbered: NumberedMessage): boolean {
    if (this.isFull()) return false;
    if (this.arrivals.isFull && !this.commit()) return false;
    const message = this.checked(numbered.message);
    const urgent =
      message.kind === 'alerts' || message.kind === 'hello' || this.hasNewQuality(numbered.node, message);
    this.arrivals.push({ kind: 'message', numbered: { ...numbered, message } });
    if (message.kind === 'readings' && message.rate === 'second')
      for (const row of message.rows) this.noteLatest(numbered.node, row);
    if (urgent && !this.troubleNow) this.commit();
    return true;
  }

  /** Nothing more is taken until the trouble is over; the node keeps its frames meanwhile. */
  isFull(): boolean {
    return this.arrivals.isFull && this.troubleNow !== undefined;
  }

  takeGap(gap: Gap): void {
    this.arrivals.push({ kind: 'gap', gap });
  }

  /** Calls with what is on disk after each commit. */
  onStored(listener: (progress: readonly Progress[]) => void): void {
    this.listeners.add(listener);
  }

  /** Highest number of a node's boot that is on disk; 0 before the first. */
  storedSeq(node: string, boot: string): number {
    const seq = this.tables.file
      .prepare('SELECT seq FROM progress WHERE node = ? AND boot = ?')
      .pluck()
      .get(node, boot);
    return (seq as number | undefined) ?? 0;
  }

  /** Whether this node is known, under any boot. */
  knowsNode(node: string): boolean {
    return this.tables.file.prepare('SELECT 1 FROM progress WHERE node = ?').get(node) !== undefined;
  }

  /** Call about once a second: commits what is due, seals what is old. Trouble is noted, not thrown. */
  tick(): void {
    const now = this.clock.monotonicMs();
    if (
      this.arrivals.count > 0 &&
      now - this.lastCommitMs >= (this.troubleNow ? retryAfterMs : commitEveryMs)
    )
      this.commit();
    if (now < this.nextSealingMs) return;
    this.nextSealingMs = now + sealEveryMs;
    try {
      this.tables.sealing.step(this.clock.wallMs());
    } catch (cause) {
      this.tables.sealing.restart();
      this.nextSealingMs = now + sealAgainAfterMs;
      this.noteTrouble(cause);
    }
  }

  /** Writes all that waits. False when it could not be written: it keeps waiting, and `trouble` says why. */
  commit(): boolean {
    this.lastCommitMs = this.clock.monotonicMs();
    if (this.arrivals.count === 0) return true;
    try {
      const kept = keepArrivals(this.tables, this.arrivals.all());
      this.arrivals.clear();
      this.troubleNow = undefined;
      this.counters.commits++;
      this.counters.collisions += kept.collisions;
      this.counters.refusedRows += kept.refused;
      for (const listener of this.listeners) listener(kept.progress);
      return true;
    } catch (cause) {
      const { names, alertLog, gapLog, clockLog, runLog, sealing } = this.tables;
      for (const list of [names, alertLog, gapLog, clockLog, runLog]) list.reload();
      sealing.restart();
      this.noteTrouble(cause);
      return false;
    }
  }

  trouble(): StoreTrouble | undefined {
    return this.troubleNow;
  }

  /** Last once-a-second reading of every probe, committed or not. */
  lastReadings(): readonly { readonly node: string; readonly row: ReadingRow }[] {
    return [...this.latest.values()];
  }

  /** A reading that was found in the file; what came over the link since is newer. */
  noteNewest(node: string, row: ReadingRow): void {
    const known = this.latest.get(`${node} ${row.probe}`);
    if (!known || known.row.at < row.at) this.noteLatest(node, row);
  }

  private noteLatest(node: string, row: ReadingRow): void {
    this.latest.set(`${node} ${row.probe}`, { node, row });
  }

  private checked(message: NodeMessage): NodeMessage {
    if (message.kind !== 'readings') return message;
    const rows = message.rows.flatMap((row) => {
      const checked = checkRow(row);
      if (typeof checked !== 'string') return checked;
      this.counters.refusedRows++;
      return [];
    });
    return { ...message, rows };
  }

  private hasNewQuality(node: string, message: NodeMessage): boolean {
    return (
      message.kind === 'readings' &&
      message.rate === 'second' &&
      message.rows.some((row) => this.latest.get(`${node} ${row.probe}`)?.row.quality !== row.quality)
    );
  }

  private noteTrouble(cause: unknown): void {
    const detail = cause instanceof Error ? cause.message : String(cause);
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
    const message =
      code === 'SQLITE_FULL'
        ? `The disk that holds ${this.path} is full: new readings wait in memory, then in the nodes, which hold hours. Make room on it. The guard and the buzzer do not need it.`
        : `Cannot write ${this.path} (${detail}): new readings wait in memory, then in the nodes, which hold hours. The guard and the buzzer do not need it.`;
    this.troubleNow = { sinceAt: this.troubleNow?.sinceAt ?? this.clock.wallMs(), message };
  }
}
