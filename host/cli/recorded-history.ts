import { createReadStream, existsSync } from 'node:fs';
import { type GuardSettings, systemClock } from '../../node/index.js';
import type { RecordedHistory } from '../replay/history.js';
import { type ReadImport, readImport } from '../replay/read-import.js';
import { historyFromStore } from '../replay/read-store.js';
import { openStoreToRead } from '../store/index.js';
import { UsageError } from './exit.js';
import { spanOf } from './moment-option.js';

/** Where the history of `replay` and `commission` comes from, as their options say it. */
export type HistoryAsked = {
  readonly from: string | undefined;
  readonly to: string | undefined;
  readonly csvPath: string | undefined;
  readonly dataDir: string;
  /** The kit's name of its node. */
  readonly node: string;
};

/** Reads it, and says on stderr what of an import could not be used. Throws `UsageError`, `StoreError`. */
export async function recordedHistory(
  asked: HistoryAsked,
  settings: GuardSettings,
): Promise<RecordedHistory> {
  const { csvPath, dataDir, node } = asked;
  const span = spanOf(asked);
  if (span.to <= span.from)
    throw new UsageError(`--to ${asked.to} is not after --from ${asked.from}. Swap them.`);
  const probes = settings.probes.map((probe) => probe.id);
  const engines = settings.engines.map(({ id }) => id);
  if (csvPath !== undefined) {
    if (!existsSync(csvPath)) throw new UsageError(`There is no file ${csvPath} to import.`);
    return reportImport(await readImport(createReadStream(csvPath), probes, engines, span), csvPath);
  }
  const store = openStoreToRead(dataDir, systemClock);
  try {
    return historyFromStore(store, probes, span, settings.engines, node);
  } finally {
    store.close();
  }
}

function reportImport(
  { history, rows, refused, firstRefused, unknown }: ReadImport,
  path: string,
): RecordedHistory {
  console.error(`${path}: ${rows} readings taken, ${refused} rows refused.`);
  for (const { line, why } of firstRefused) console.error(`  line ${line}: ${why}`);
  for (const [probe, count] of Object.entries(unknown))
    console.error(`  probe ${probe} is not in the kit: ${count} rows left out.`);
  return history;
}
