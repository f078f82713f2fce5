import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { type Engine, missingReasons, type Quality } from '../../node/index.js';
import { parseRfc3339 } from '../exchange/index.js';
import type { ChannelHistory, RecordedHistory, RunSpan } from './history.js';

/** Something in an imported file that could not be used, and where. */
export type RefusedLine = { readonly line: number; readonly why: string };

export type ReadCsv = {
  readonly history: RecordedHistory;
  readonly rows: number;
  readonly refused: number;
  readonly firstRefused: readonly RefusedLine[];
  /** Channels the kit does not name, and how many rows each had. */
  readonly unknown: Readonly<Record<string, number>>;
};

export class CsvTrouble extends Error {}

const mostShownRefusals = 5;
const qualities: ReadonlySet<string> = new Set(['good', ...missingReasons]);
/** Channels so named carry the running input of an engine: 1 is running, 0 is stopped. */
const runningPrefix = 'running-';

type Column = {
  at: number[];
  temperatureC: number[];
  quality: Quality[];
  ordered: boolean;
  allGood: boolean;
};

/**
 * Reads `time,channel,temperatureC[,quality]`, time as RFC 3339 or Unix milliseconds. A row that cannot be read is
 * counted and the first few are reported with their line; a header that does not fit is an error.
 */
export async function readCsv(
  path: string,
  channels: readonly string[],
  engines: readonly Engine[],
  span: { from: number; to: number },
): Promise<ReadCsv> {
  const columns = new Map<string, Column>();
  for (const channel of [...channels, ...engines.map((engine) => runningPrefix + engine)])
    columns.set(channel, { at: [], temperatureC: [], quality: [], ordered: true, allGood: true });
  const unknown: Record<string, number> = {};
  const firstRefused: RefusedLine[] = [];
  let line = 0;
  let rows = 0;
  let refused = 0;
  let order: readonly number[] | undefined;
  let lastTime = '';
  let lastAt: number | undefined;
  const refuse = (why: string) => {
    refused++;
    if (firstRefused.length < mostShownRefusals) firstRefused.push({ line, why });
  };
  for await (const text of createInterface({
    input: createReadStream(path),
    crlfDelay: Number.POSITIVE_INFINITY,
  })) {
    line++;
    if (text === '' || text.startsWith('#')) continue;
    const words = text.split(',');
    if (!order) {
      order = columnOrder(words, path);
      continue;
    }
    const [timeAt, channelAt, temperatureAt, qualityAt] = order as [number, number, number, number];
    const time = words[timeAt] ?? '';
    if (time !== lastTime) {
      lastTime = time;
      lastAt = momentOf(time);
    }
    if (lastAt === undefined) {
      refuse(`time '${time}' is neither RFC 3339 (2026-05-01T12:00:00Z) nor Unix milliseconds`);
      continue;
    }
    if (lastAt < span.from || lastAt >= span.to) continue;
    const channel = words[channelAt] ?? '';
    const column = columns.get(channel);
    if (!column) {
      unknown[channel] = (unknown[channel] ?? 0) + 1;
      continue;
    }
    const quality = (qualityAt >= 0 && words[qualityAt]?.trim()) || 'good';
    if (!qualities.has(quality)) {
      refuse(`quality '${quality}' is none of: ${[...qualities].join(', ')}`);
      continue;
    }
    const word = words[temperatureAt]?.trim() ?? '';
    const temperatureC = word === '' ? Number.NaN : Number(word);
    if (quality === 'good' && !Number.isFinite(temperatureC)) {
      refuse(`temperatureC '${word}' is not a number; where there is none, give a quality such as open`);
      continue;
    }
    rows++;
    if (column.at.length > 0 && lastAt < (column.at[column.at.length - 1] as number)) column.ordered = false;
    column.at.push(lastAt);
    column.temperatureC.push(temperatureC);
    column.quality.push(quality as Quality);
    if (quality !== 'good') column.allGood = false;
  }
  if (!order)
    throw new CsvTrouble(`${path} is empty. Its first line must be: time,channel,temperatureC[,quality]`);
  return { history: historyOf(columns, engines), rows, refused, firstRefused, unknown };
}

/** The place of each of the four columns; -1 where there is no quality. */
function columnOrder(words: readonly string[], path: string): readonly number[] {
  const names = words.map((word) => word.trim().replace(/^\uFEFF/, ''));
  const order = ['time', 'channel', 'temperatureC', 'quality'].map((name) => names.indexOf(name));
  const lacks = ['time', 'channel', 'temperatureC'].filter((_, i) => (order[i] ?? -1) < 0);
  if (lacks.length > 0)
    throw new CsvTrouble(
      `${path} line 1 lacks ${lacks.join(' and ')}; it says '${words.join(',')}'. Expected: time,channel,temperatureC[,quality]`,
    );
  return order;
}

const momentOf = (time: string): number | undefined =>
  /^\d{10,}(\.\d+)?$/.test(time) ? Number(time) : parseRfc3339(time);

function historyOf(columns: ReadonlyMap<string, Column>, engines: readonly Engine[]): RecordedHistory {
  const channels: ChannelHistory[] = [];
  const runSpans: Record<Engine, readonly RunSpan[]> = {};
  for (const [channel, column] of columns) {
    if (column.at.length === 0) continue;
    const sorted = column.ordered ? column : inOrder(column);
    const engine = engines.find((e) => channel === runningPrefix + e);
    if (engine) runSpans[engine] = spansOf(sorted);
    else
      channels.push({
        channel,
        at: Float64Array.from(sorted.at),
        temperatureC: Float64Array.from(sorted.temperatureC),
        quality: sorted.allGood ? 'all good' : sorted.quality,
      });
  }
  return { channels, runSpans };
}

function inOrder(column: Column): Column {
  const order = column.at
    .map((_, i) => i)
    .sort((a, b) => (column.at[a] as number) - (column.at[b] as number));
  return {
    ...column,
    at: order.map((i) => column.at[i] as number),
    temperatureC: order.map((i) => column.temperatureC[i] as number),
    quality: order.map((i) => column.quality[i] as Quality),
  };
}

/** Level changes as spans; the last one on lasts to the last row. */
function spansOf({ at, temperatureC }: Column): readonly RunSpan[] {
  const spans: RunSpan[] = [];
  let startAt: number | undefined;
  at.forEach((t, i) => {
    const on = (temperatureC[i] ?? 0) >= 0.5;
    if (on && startAt === undefined) startAt = t;
    if (!on && startAt !== undefined) {
      spans.push({ startAt, endAt: t });
      startAt = undefined;
    }
  });
  if (startAt !== undefined) spans.push({ startAt, endAt: at[at.length - 1] ?? startAt });
  return spans;
}
