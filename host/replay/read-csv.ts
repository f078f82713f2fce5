import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';
import {
  type Engine,
  missingReasons,
  type Quality,
  type Quantity,
  quantities,
  RoomError,
  valueNames,
} from '../../node/index.js';
import { parseRfc3339, runningPrefix } from '../exchange/index.js';
import { type ChannelHistory, type RecordedHistory, type RunSpan, valuesOf } from './history.js';

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

export class HistoryFileError extends RoomError {
  readonly code = 'not-a-history';
  readonly errorCategory = 'usage';
}

const mostShownRefusals = 5;
const qualities: ReadonlySet<string> = new Set(['good', ...missingReasons]);

type Column = {
  at: number[];
  /** Of the first value; temperature until there is one. */
  quantity: Quantity;
  measured: boolean;
  values: number[];
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
    columns.set(channel, {
      at: [],
      quantity: 'temperature',
      measured: false,
      values: [],
      quality: [],
      ordered: true,
      allGood: true,
    });
  const unknown: Record<string, number> = {};
  const firstRefused: RefusedLine[] = [];
  let line = 0;
  let rows = 0;
  let refused = 0;
  let order: Order | undefined;
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
    const { timeAt, channelAt, qualityAt, valuesAt } = order;
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
    const filled = valuesAt.find(({ at }) => (words[at]?.trim() ?? '') !== '') ?? valuesAt[0];
    const word = (filled && words[filled.at]?.trim()) ?? '';
    const value = word === '' ? Number.NaN : Number(word);
    if (quality === 'good' && !Number.isFinite(value)) {
      refuse(
        `${filled?.name ?? 'temperatureC'} '${word}' is not a number; where there is none, give a quality such as open`,
      );
      continue;
    }
    if (quality === 'good' && filled) {
      if (column.measured && column.quantity !== filled.quantity) {
        refuse(`${channel} has a ${filled.name} here and a ${column.quantity} before`);
        continue;
      }
      column.measured = true;
      column.quantity = filled.quantity;
    }
    rows++;
    if (column.at.length > 0 && lastAt < (column.at[column.at.length - 1] as number)) column.ordered = false;
    column.at.push(lastAt);
    column.values.push(value);
    column.quality.push(quality as Quality);
    if (quality !== 'good') column.allGood = false;
  }
  if (!order)
    throw new HistoryFileError(
      `${path} is empty. Its first line must be: time,channel,temperatureC[,quality]`,
    );
  return { history: historyOf(columns, engines), rows, refused, firstRefused, unknown };
}

type Order = {
  readonly timeAt: number;
  readonly channelAt: number;
  /** -1 where there is none. */
  readonly qualityAt: number;
  readonly valuesAt: readonly { readonly name: string; readonly quantity: Quantity; readonly at: number }[];
};

/** Where each column is; of the values only `temperatureC` must be there. */
function columnOrder(words: readonly string[], path: string): Order {
  const names = words.map((word) => word.trim().replace(/^\uFEFF/, ''));
  const lacks = ['time', 'channel', 'temperatureC'].filter((name) => !names.includes(name));
  if (lacks.length > 0)
    throw new HistoryFileError(
      `${path} line 1 lacks ${lacks.join(' and ')}; it says '${words.join(',')}'. Expected: time,channel,temperatureC[,quality]`,
    );
  return {
    timeAt: names.indexOf('time'),
    channelAt: names.indexOf('channel'),
    qualityAt: names.indexOf('quality'),
    valuesAt: quantities
      .map((quantity) => ({ quantity, name: valueNames[quantity].value }))
      .map((column) => ({ ...column, at: names.indexOf(column.name) }))
      .filter(({ at }) => at >= 0),
  };
}

const momentOf = (time: string): number | undefined =>
  /^\d{10,}(\.\d+)?$/.test(time) ? Number(time) : parseRfc3339(time);

function historyOf(columns: ReadonlyMap<string, Column>, engines: readonly Engine[]): RecordedHistory {
  const channels: ChannelHistory[] = [];
  const runSpans: Record<Engine, readonly RunSpan[]> = {};
  let lastAt = 0;
  for (const { at } of columns.values()) for (const t of at) if (t > lastAt) lastAt = t;
  for (const [channel, column] of columns) {
    if (column.at.length === 0) continue;
    const sorted = column.ordered ? column : inOrder(column);
    const engine = engines.find((e) => channel === runningPrefix + e);
    if (engine) runSpans[engine] = spansOf(sorted, lastAt);
    else
      channels.push({
        channel,
        at: Float64Array.from(sorted.at),
        ...valuesOf(sorted.quantity, Float64Array.from(sorted.values)),
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
    values: order.map((i) => column.values[i] as number),
    quality: order.map((i) => column.quality[i] as Quality),
  };
}

/** Level changes as spans: a level holds until the next row of its input, the last one to the end of the file. */
function spansOf({ at, values }: Column, lastAt: number): readonly RunSpan[] {
  const spans: RunSpan[] = [];
  let startAt: number | undefined;
  at.forEach((t, i) => {
    const on = (values[i] ?? 0) >= 0.5;
    if (on && startAt === undefined) startAt = t;
    if (!on && startAt !== undefined) {
      spans.push({ startAt, endAt: t });
      startAt = undefined;
    }
  });
  if (startAt !== undefined) spans.push({ startAt, endAt: lastAt });
  return spans;
}
