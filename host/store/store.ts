import { statSync } from 'node:fs';
import {
  type AlertRow,
  type Clock,
  type EngineCard,
  firstEngineCards,
  type ReadingRow,
} from '../../node/index.js';
import { mergedEngines } from '../wording/engine-names.js';
import { type Columns, rowAt } from './codec/columns.js';
import { BulkImport } from './intake/bulk-import.js';
import type { HistoryColumns, Taken } from './intake/history.js';
import { Intake } from './intake/intake.js';
import type { StoreTables } from './intake/keeping.js';
import { Sealing } from './intake/sealing.js';
import type { Envelope, ValueEnvelope } from './queries/envelope.js';
import { type HoursRun, hoursRun } from './queries/hours-run.js';
import { ReadingSpans, type Span } from './queries/reading-spans.js';
import { type AlertHistory, AlertLog } from './tables/alert-log.js';
import { ClockLog, type ClockStep } from './tables/clock-log.js';
import { copyTo, holdStill } from './tables/copy-file.js';
import { EngineList } from './tables/engine-list.js';
import { ForwardCursor } from './tables/forward-cursor.js';
import { type Gap, GapLog } from './tables/gap-log.js';
import { Names, type Rate, type Series, type StoredProbe } from './tables/names.js';
import { openFile, openFileToRead, storePath } from './tables/open-file.js';
import { Readings } from './tables/readings.js';
import { RunLog, type RunSpan } from './tables/run-log.js';
import { ServiceLog } from './tables/service-log.js';

const episodeBeforeMs = 60_000;
const episodeAfterMs = 120_000;

/** Opens the store of a data folder to read and write, making it when there is none. Throws `StoreError`. */
export const openStore = (dataDir: string, clock: Clock): Store =>
  new Store(openFile(dataDir), storePath(dataDir), clock);

/** Opens an existing store beside a running host, to read only. Throws `StoreError`. */
export const openStoreToRead = (dataDir: string, clock: Clock): Store =>
  new Store(openFileToRead(dataDir), storePath(dataDir), clock);

export type KnownBoat = { readonly engines: readonly EngineCard[]; readonly probes: readonly StoredProbe[] };

type InBuckets = Span & { readonly probe: string; readonly atMost?: number; readonly everyMs?: number };

/** All that the host keeps, in one SQLite file. Every query includes what waits for its commit. */
export class Store {
  /** Where the link hands in what nodes say. */
  readonly intake: Intake;
  /** What the forwarder has sent, and its resend queue. */
  readonly forwardCursor: ForwardCursor;
  /** What was done to the boat and when. */
  readonly service: ServiceLog;
  /** What comes in by the thousand; what is already stored stays as it is. */
  readonly bulk: BulkImport;
  private readonly tables: StoreTables;
  private readonly spans: ReadingSpans;
  private readonly path: string;

  constructor(file: StoreTables['file'], path: string, clock: Clock) {
    this.path = path;
    const names = new Names(file);
    const readings = new Readings(file, names);
    this.forwardCursor = new ForwardCursor(file);
    this.tables = {
      file,
      names,
      readings,
      alertLog: new AlertLog(file),
      gapLog: new GapLog(file),
      clockLog: new ClockLog(file),
      runLog: new RunLog(file),
      engineList: new EngineList(file),
      forwardCursor: this.forwardCursor,
      sealing: new Sealing(file, readings, names),
    };
    this.service = new ServiceLog(file);
    this.intake = new Intake(this.tables, path, clock);
    this.spans = new ReadingSpans(this.tables, this.intake.arrivals);
    this.bulk = new BulkImport(this.tables);
    this.readLatest();
  }

  /** Commits and closes. */
  close(): void {
    if (!this.tables.file.readonly) this.intake.commit();
    this.tables.file.close();
  }

  probes(): readonly StoredProbe[] {
    return this.tables.names.all();
  }

  /** All nodes that were ever connected, and whose boats they are in. */
  nodes(): readonly { readonly node: string; readonly boat: string; readonly invented: boolean }[] {
    const rows = this.tables.file.prepare('SELECT id, boat, invented FROM node').all();
    const known = rows as { id: string; boat: string; invented: number }[];
    return known.map(({ id: node, boat, invented }) => ({ node, boat, invented: invented === 1 }));
  }

  /** The engines of one node. */
  enginesOf(node: string): readonly EngineCard[] {
    return this.tables.engineList.of(node);
  }

  /** The engines of all nodes, each once; of a store that only has imports, those of a kit that names none. */
  engines(): readonly EngineCard[] {
    const nodes = this.nodes();
    return nodes.length ? mergedEngines(nodes.map(({ node }) => this.enginesOf(node))) : firstEngineCards;
  }

  /** Alerts of a node that had not ended when it last sent. */
  activeAlerts(node: string): readonly AlertRow[] {
    return this.tables.alertLog.activeOf(node);
  }

  lastReadings(): readonly { readonly node: string; readonly row: ReadingRow }[] {
    return this.intake.lastReadings();
  }

  /** Every reading of a span as rows, in order of time. For hours, not for seasons: see `columns`. Throws `StoreError`. */
  span({ probe, rate = 'second', ...span }: Span & { readonly probe: string; readonly rate?: Rate }) {
    return this.spans.rows(probe, rate, span);
  }

  /**
   * Minimum, mean and maximum of a thermometer in at most `atMost` whole buckets, or in buckets of `everyMs`. Throws
   * `StoreError`, for a probe of another quantity too.
   */
  envelope({ probe, atMost = 1000, everyMs, ...span }: InBuckets): Envelope {
    return this.spans.envelope(probe, span, everyMs === undefined ? { atMost } : { everyMs });
  }

  /** As `envelope`, of a probe of any quantity and in its unit. Throws `StoreError`. */
  values({ probe, atMost = 1000, everyMs, ...span }: InBuckets): ValueEnvelope {
    return this.spans.values(probe, span, everyMs === undefined ? { atMost } : { everyMs });
  }

  /** The committed readings of a span, an hour at a time, in the store's own shape: for export and forwarding. */
  columns(series: Series, from: number, to: number): Generator<Columns> {
    return this.tables.readings.columns(series, from, to);
  }

  /** Hours since 1970 within a span that hold committed readings. */
  hoursOf(series: Series, from: number, to: number): readonly number[] {
    return this.tables.readings.hours(series, from, to);
  }

  /** Times of the first and last committed reading of a series. */
  spanOf(series: Series): Span | undefined {
    return this.spans.whole(series);
  }

  allSeries(): readonly Series[] {
    this.tables.names.reload();
    return this.tables.names.allSeries();
  }

  /** Names of certificates by the number that columns carry. */
  certificates(): readonly string[] {
    return this.tables.names.certificates;
  }

  /** Alerts that were active at any moment of the span, newest first. */
  alerts({ from, to }: Span): readonly AlertHistory[] {
    return this.tables.alertLog.between(from, to);
  }

  /** The full-rate readings of every probe from 60 s before an alert to 120 s after. */
  episode({ raisedAt }: { readonly raisedAt: number }) {
    const span = { from: raisedAt - episodeBeforeMs, to: raisedAt + episodeAfterMs };
    const rowsOf = (probe: string) => this.span({ ...span, probe, rate: 'episode' });
    return this.probes().map(({ name: probe }) => ({ probe, rows: rowsOf(probe) }));
  }

  gaps({ from, to }: Span): readonly Gap[] {
    return this.tables.gapLog.between(from, to);
  }

  /** Steps of a node's wall clock that the span holds, by the clock before or after. */
  clockSteps({ from, to }: Span): readonly ClockStep[] {
    return this.tables.clockLog.between(from, to);
  }

  /** `known` where the store itself does not know names and places, as after an import. */
  hoursRun(
    { from, to }: Span,
    known: KnownBoat = { engines: this.engines(), probes: this.probes() },
  ): HoursRun {
    const source = {
      spans: (engine: RunSpan['engine']) => this.tables.runLog.between(engine, from, to),
      probes: known.probes,
      envelope: (probe: string, start: number, end: number, everyMs: number) =>
        this.envelope({ probe, from: start, to: end, everyMs }),
    };
    return hoursRun(source, known.engines, from, to);
  }

  /** When an engine ran, as its running input said, in order. */
  runSpans({ engine, from, to }: Span & Pick<RunSpan, 'engine'>): readonly RunSpan[] {
    return this.tables.runLog.between(engine, from, to);
  }

  /** Every engine of which a run is stored. */
  enginesThatRan(): readonly RunSpan['engine'][] {
    return this.tables.runLog.engines();
  }

  /** Readings of one probe in bulk, millions a second; what is already stored stays as it is. */
  addHistory(history: HistoryColumns): Taken {
    const taken = this.bulk.columns(history);
    this.readLatest();
    return taken;
  }

  /** From now on this reader sees one moment of the store, whatever the host writes meanwhile. */
  holdStill(): void {
    holdStill(this.tables.file);
  }

  /** Copies the store to a new file as of this moment, while another process writes. `signal` stops it with its reason. */
  copyTo(path: string, signal?: AbortSignal): Promise<void> {
    return copyTo(this.tables.file, path, signal);
  }

  /** What the file holds and its state. `refusedRows` and `collisions` count since this process opened it. */
  about() {
    const one = (sql: string) => (this.tables.file.prepare(sql).pluck().get() as number | null) ?? 0;
    return {
      path: this.path,
      bytes: statSync(this.path).size,
      readings: one('SELECT sum(n + missing) FROM block') + one('SELECT count(*) FROM recent'),
      waiting: this.intake.arrivals.count,
      ...this.intake.counters,
    };
  }

  private readLatest(): void {
    const { names, readings } = this.tables;
    for (const series of names.allSeries()) {
      const { probe, rate } = series;
      if (rate !== 'second' || probe.node === undefined) continue;
      const newest = readings.newest(series);
      if (newest.length === 0) continue;
      this.intake.noteNewest(probe.node, rowAt(newest, 0, probe, names.certificates));
    }
  }
}
