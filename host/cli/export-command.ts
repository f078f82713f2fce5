import { once } from 'node:events';
import { createWriteStream, existsSync } from 'node:fs';
import type { Writable } from 'node:stream';
import { finished } from 'node:stream/promises';
import { systemClock } from '../../node/index.js';
import {
  type EventKind,
  eventKinds,
  exportEvents,
  exportReadings,
  fullCsv,
  inOrderOfTime,
  jsonLines,
  lineProtocol,
  runningRows,
  shortCsv,
} from '../exchange/index.js';
import { openStoreToRead, type Series, type Store } from '../store/index.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { spanOf } from './moment-option.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { rateOption, spanOptions } from './usual-options.js';

const formats = { csv: shortCsv, 'csv-full': fullCsv, jsonl: jsonLines, lines: lineProtocol };
type FormatName = keyof typeof formats;

export const exportCommand = defineCommand({
  ...summaries.export,
  when: 'To take readings or logs elsewhere, and for a safe copy of the store.',
  builder: (yargs) =>
    yargs
      .option('what', {
        choices: ['readings', ...eventKinds] as const,
        default: 'readings' as const,
        describe: 'Readings, or one of the logs: oldest first, csv or jsonl, times in UTC',
      })
      .option('format', {
        choices: Object.keys(formats) as FormatName[],
        default: 'csv' as const,
        describe: 'csv: seven columns; csv-full: all that is known; jsonl: JSON lines; lines: line protocol',
      })
      .options(spanOptions)
      .option('probe', { type: 'string', array: true, describe: 'Only these probes' })
      .options(rateOption)
      .option('out', {
        type: 'string',
        // Without it the parser takes a lone - for a flag.
        nargs: 1,
        default: '-',
        describe: 'A file that does not exist yet; - is stdout',
      })
      .option('sqlite', {
        type: 'string',
        describe: 'Copy the whole store, alerts and all, to this new file instead',
      })
      .options(storeOption)
      .example('$0 export --from 2026-05-01T00:00:00Z --to 2026-05-02T00:00:00Z', 'One day as CSV')
      .example('$0 export --what alerts --from 2026-05-01', 'Every alert since, as CSV')
      .example('$0 export --what service --format jsonl --out service.jsonl', 'To import elsewhere')
      .example('$0 export --sqlite copy.sqlite', 'A safe copy, while the host continues'),
  handler: async ({ what, format, from, to, probe, rate, out, sqlite, dataDir }) => {
    const span = spanOf({ from, to });
    const store = openStoreToRead(dataDir, systemClock);
    try {
      if (sqlite !== undefined) await copyStore(store, sqlite);
      else if (what !== 'readings') {
        const { lines, count } = exportEvents(store, what, span, eventForm(what, format, probe));
        await writeLines(lines, out);
        console.error(`${what}: ${count} written.`);
      } else {
        const series = chooseSeries(store, probe).filter((s) => s.rate === rate);
        const written = await writeReadings(
          store,
          series,
          span,
          formats[format],
          out,
          probe === undefined && rate === 'second',
        );
        console.error(`${written} readings of ${series.length} probes.`);
      }
    } finally {
      store.close();
    }
  },
});

/** A log has no probes to choose among, and line protocol holds numbers at moments. */
const eventForm = (
  what: EventKind,
  format: FormatName,
  probe: readonly string[] | undefined,
): 'csv' | 'jsonl' => {
  if (probe) throw new UsageError(`--probe chooses readings; leave it out with --what ${what}.`);
  if (format === 'lines')
    throw new UsageError(
      `Line protocol holds readings only. Take --format csv or jsonl with --what ${what}.`,
    );
  return format === 'jsonl' ? 'jsonl' : 'csv';
};

const writeLines = async (lines: readonly string[], path: string): Promise<void> => {
  const out = openNew(path);
  out.write(lines.map((line) => `${line}\n`).join(''));
  await ended(out, path);
};

/** Waits until a file is whole; stdout stays open. */
const ended = async (out: Writable, path: string): Promise<void> => {
  if (out === process.stdout) return;
  out.end();
  await finished(out).catch((cause: Error) => {
    throw new UnavailableError(`Cannot write ${path} (${cause.message}).`);
  });
};

const chooseSeries = (store: Store, probes: readonly string[] | undefined): readonly Series[] => {
  const all = store.allSeries();
  const unknown = probes?.find((name) => !all.some((s) => s.probe.name === name));
  if (unknown !== undefined) {
    const known = [...new Set(all.map((s) => s.probe.name))].join(', ');
    throw new UsageError(`The store has no readings of ${unknown}. It has: ${known || 'none yet'}.`);
  }
  return probes ? all.filter((s) => probes.includes(s.probe.name)) : all;
};

const openNew = (path: string): Writable => {
  if (path === '-') return process.stdout;
  expectNew(path);
  return createWriteStream(path, { flags: 'wx' });
};

const writeReadings = async (
  store: Store,
  series: readonly Series[],
  span: { readonly from: number; readonly to: number },
  { header, write }: (typeof formats)[FormatName],
  path: string,
  withRunning: boolean,
): Promise<number> => {
  const out = openNew(path);
  store.holdStill();
  let count = 0;
  let text = header === undefined ? '' : `${header}\n`;
  const running = withRunning ? runningRows(store, span) : [];
  for (const row of inOrderOfTime(exportReadings(store, series, span), running)) {
    text += `${write(row)}\n`;
    count++;
    if (text.length < 65_536) continue;
    if (!out.write(text)) await once(out, 'drain');
    text = '';
  }
  out.write(text);
  await ended(out, path);
  return count;
};

const expectNew = (path: string): void => {
  if (existsSync(path))
    throw new UnavailableError(
      `${path} exists already and was left as it is. Move it away, or name another file.`,
    );
};

const copyStore = async (store: Store, path: string): Promise<void> => {
  expectNew(path);
  await store.copyTo(path).catch((cause: Error) => {
    throw new UnavailableError(`Cannot copy the store to ${path} (${cause.message}).`);
  });
  console.error(`Copied to ${path}. To use it, put it into an empty folder as elbowroom.sqlite.`);
};
