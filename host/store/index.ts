/** The host's memory: everything that nodes said, in one file. */
export type { AlertHistory } from './alert-log.js';
export type { ImportBatch } from './bulk-door.js';
export { checkRow } from './check-row.js';
export type { ClockStep } from './clock-log.js';
export { type Columns, qualityOfMark, rowAt } from './columns.js';
export type { Envelope } from './envelope.js';
export type { Gap } from './gap-log.js';
export type { HistoryColumns, Taken } from './history.js';
export type { EngineHours, HoursRun } from './hours-run.js';
export type { Progress, StoreTrouble } from './intake.js';
export type { Rate, Series, StoredProbe } from './names.js';
export type { Owed, RefusedLine } from './outbox.js';
export type { Span } from './reading-spans.js';
export type { RunSpan } from './run-log.js';
export type { ServiceEntry } from './service-log.js';
export { openStore, openStoreToRead, type Store } from './store.js';
export { StoreError } from './store-error.js';
