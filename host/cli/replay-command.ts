import { existsSync } from 'node:fs';
import { loadKit, settingsFromKit, systemClock } from '../../node/index.js';
import { parseRfc3339 } from '../exchange/index.js';
import type { RecordedHistory } from '../replay/history.js';
import { CsvTrouble, type ReadCsv, readCsv } from '../replay/read-csv.js';
import { historyFromStore } from '../replay/read-store.js';
import { type Replayed, replay } from '../replay/replay.js';
import { replayText } from '../replay/replay-text.js';
import { openStoreToRead } from '../store/index.js';
import { defineCommand } from './define-command.js';
import { AskedWrongly } from './exit.js';

export const replayCommand = defineCommand({
  command: 'replay',
  describe: 'Run the guard over recorded history: every alert that would have been raised, and why',
  builder: (yargs) =>
    yargs
      .option('from', { type: 'string', describe: 'First moment, RFC 3339; the beginning unless given' })
      .option('to', { type: 'string', describe: 'First moment no longer wanted; the end unless given' })
      .option('kit', {
        type: 'string',
        default: 'kit.yaml',
        describe: 'The kit file that names the channels',
      })
      .option('settings', {
        type: 'string',
        describe: 'A kit file with other limits to try instead of the one in use',
      })
      .option('import', {
        type: 'string',
        describe: 'A CSV file time,channel,temperatureC[,quality] instead of the store',
      })
      .option('data-dir', {
        type: 'string',
        default: 'elbowroom-data/host',
        describe: 'Where the store lies',
      })
      .option('json', { type: 'boolean', default: false, describe: 'One JSON document on stdout' })
      .example('$0 replay --from 2026-05-01T00:00:00Z --to 2026-06-01T00:00:00Z', 'A month of the store')
      .example('$0 replay --import log.csv --kit kit.yaml --json', 'Somebody else’s logbook')
      .example('$0 replay --settings lower-limits.yaml', 'What lower limits would have done'),
  handler: async ({ from, to, kit: kitPath, settings: settingsPath, import: csvPath, dataDir, json }) => {
    const span = {
      from: momentOf('from', from, 0),
      to: momentOf('to', to, Number.MAX_SAFE_INTEGER),
    };
    if (span.to <= span.from) throw new AskedWrongly(`--to ${to} is not after --from ${from}. Swap them.`);
    const settings = settingsFromKit(loadKit(settingsPath ?? kitPath));
    const channels = settings.probes.map((probe) => probe.id);
    let history: RecordedHistory;
    if (csvPath !== undefined) {
      if (!existsSync(csvPath))
        throw new AskedWrongly(`There is no file ${csvPath}. --import wants a CSV file.`);
      history = tellOfImport(await csvOrAskedWrongly(csvPath, channels, span), csvPath);
    } else {
      const store = openStoreToRead(dataDir, systemClock);
      try {
        history = historyFromStore(store, channels, span, settings.runningInput);
      } finally {
        store.close();
      }
    }
    const replayed: Replayed = replay(history, settings);
    if (replayed.passes === 0)
      console.error(
        `There is no reading of ${channels.join(', ')} in this span, so there was nothing to judge.`,
      );
    console.log(json ? JSON.stringify(replayed) : replayText(replayed));
  },
});

const momentOf = (option: string, text: string | undefined, otherwise: number): number => {
  if (text === undefined) return otherwise;
  const at = parseRfc3339(text);
  if (at === undefined)
    throw new AskedWrongly(`--${option} ${text} is no moment such as 2026-05-01T00:00:00Z.`);
  return at;
};

const csvOrAskedWrongly = async (...asked: Parameters<typeof readCsv>): Promise<ReadCsv> => {
  try {
    return await readCsv(...asked);
  } catch (error) {
    if (error instanceof CsvTrouble) throw new AskedWrongly(error.message, { cause: error });
    throw error;
  }
};

function tellOfImport(
  { history, rows, refused, firstRefused, unknown }: ReadCsv,
  path: string,
): RecordedHistory {
  console.error(`${path}: ${rows} readings taken, ${refused} rows refused.`);
  for (const { line, why } of firstRefused) console.error(`  line ${line}: ${why}`);
  for (const [channel, count] of Object.entries(unknown))
    console.error(`  channel ${channel} is not in the kit: ${count} rows left out.`);
  return history;
}
