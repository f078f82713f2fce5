import { engineOrAll, slugShape } from '../../node/index.js';
import type { ServiceEntry, Store } from '../store/index.js';
import { parseRfc3339 } from './exchange-row.js';
import type { Imported } from './import-readings.js';
import { ImportError, type RefusedLine } from './read-rows.js';
import { textLines } from './text-lines.js';

const mostShown = 10;

/**
 * Reads a service log as `elbowroom export --what service --format jsonl` writes it and adds the work that is not there
 * yet: the same moment, engine and words. A line that cannot be read is counted and reported; the others are imported.
 */
export const importService = async (store: Store, chunks: AsyncIterable<Uint8Array>): Promise<Imported> => {
  const keyOf = ({ at, engine, work }: Omit<ServiceEntry, 'id'>) => JSON.stringify([at, engine, work]);
  const there = new Set(store.service.entries().map(keyOf));
  const firstRefused: RefusedLine[] = [];
  let [number, lines, added, already, refused] = [0, 0, 0, 0, 0];
  for await (const line of textLines(chunks)) {
    number++;
    if (line.trim() === '') continue;
    lines++;
    const entry = serviceEntryFrom(line);
    if (typeof entry === 'string') {
      refused++;
      if (firstRefused.length < mostShown) firstRefused.push({ line: number, why: entry });
    } else if (there.has(keyOf(entry))) already++;
    else {
      store.service.add(entry);
      there.add(keyOf(entry));
      added++;
    }
  }
  if (lines === 0) throw new ImportError('There is nothing to import: the file is empty.');
  return { lines, added, already, differing: 0, refused, firstRefused };
};

/** The entry, or what is wrong with it. */
const serviceEntryFrom = (line: string): Omit<ServiceEntry, 'id'> | string => {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return 'the line is not JSON';
  }
  if (typeof value !== 'object' || value === null) return 'the line is not a JSON object';
  const { at, engine, work, note, restartsBaseline } = value as Record<string, unknown>;
  const when = typeof at === 'string' ? parseRfc3339(at) : undefined;
  if (when === undefined)
    return `at ${JSON.stringify(at)} is not RFC 3339, such as "2026-05-01T08:00:00.000Z"`;
  if (typeof engine !== 'string' || !slugShape.test(engine))
    return `engine ${JSON.stringify(engine)} is not the id of an engine, such as "main", or "all"`;
  if (typeof work !== 'string' || work.trim() === '') return 'work does not say what was done';
  if (typeof restartsBaseline !== 'boolean') return 'restartsBaseline is neither true nor false';
  if (note !== undefined && typeof note !== 'string') return 'note is not a text';
  return {
    at: when,
    engine: engineOrAll(engine),
    work,
    restartsBaseline,
    ...(note !== undefined && { note }),
  };
};
