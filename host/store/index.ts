/** The host's memory: everything that nodes said, in one file. */

export { type Columns, qualityOfMark, rowAt } from './codec/columns.js';
export type { ImportBatch } from './intake/bulk-import.js';
export { checkRow } from './intake/check-row.js';
export type { Taken } from './intake/history.js';
export type { Progress } from './intake/intake.js';
export type { Envelope, ValueEnvelope } from './queries/envelope.js';
export type { HoursRun } from './queries/hours-run.js';
export type { Span } from './queries/reading-spans.js';
export { type KnownBoat, openStore, openStoreToRead, type Store } from './store.js';
export type { AlertHistory } from './tables/alert-log.js';
export type { ClockStep } from './tables/clock-log.js';
export type { RefusedLine, Resend } from './tables/forward-cursor.js';
export type { Gap } from './tables/gap-log.js';
export type { Rate, Series, StoredProbe } from './tables/names.js';
export { storePath } from './tables/open-file.js';
export type { RunSpan } from './tables/run-log.js';
export type { ServiceEntry } from './tables/service-log.js';
export { StoreError } from './tables/store-error.js';
