/** Readings as text files, out and in again, bit for bit; what else the store remembers, out. */
export { csvCells, fullCsv, shortCsv } from './csv.js';
export { type EventKind, eventKinds, exportEvents } from './events.js';
export { parseRfc3339 } from './exchange-row.js';
export { exportReadings } from './export-readings.js';
export { type Imported, importReadings } from './import-readings.js';
export { importService } from './import-service.js';
export { jsonLines } from './json-lines.js';
export { lineOf, lineProtocol, tag } from './line-protocol.js';
export { type RefusedLine, readRows } from './read-rows.js';
export { inOrderOfTime, RunningLevels, runningRows } from './running-rows.js';
