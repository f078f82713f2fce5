import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { csvCells } from '../exchange/index.js';
import { numberFrom } from './convert/numbers.js';
import { UnavailableError, UsageError } from './exit.js';

/** The text of a file, or of stdin for `-`. Throws UnavailableError when it cannot be read. */
export async function readTextFrom(path: string): Promise<string> {
  if (path === '-') return text(process.stdin);
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new UnavailableError(`Cannot read ${path}: ${(error as Error).message}`, { cause: error });
  }
}

/**
 * Rows of numbers from a CSV whose first line names the columns; lines starting with # and empty lines are passed over,
 * columns that were not asked for too. Throws UsageError naming the line and the column.
 */
export function parsePoints<Needed extends string, Optional extends string>(
  csv: string,
  file: string,
  columns: { readonly needed: readonly Needed[]; readonly optional: readonly Optional[] },
): readonly (Readonly<Record<Needed, number>> & Readonly<Partial<Record<Optional, number>>>)[] {
  const wanted: readonly string[] = [...columns.needed, ...columns.optional];
  const rows: Record<string, number>[] = [];
  let heading: readonly string[] | undefined;
  for (const [index, raw] of csv.split('\n').entries()) {
    const line = raw.trim();
    if (line === '' || line.startsWith('#')) continue;
    const where = `${file}:${index + 1}`;
    const cells = csvCells(line)?.map((cell) => cell.trim());
    if (!cells) throw new UsageError(`${where}: a quote is left open.`);
    if (!heading) {
      heading = cells;
      const missing = columns.needed.find((name) => !cells.includes(name));
      if (missing)
        throw new UsageError(
          `${where}: no column "${missing}". The first line must name the columns: ${columns.needed.join(',')}${columns.optional.length ? `[,${columns.optional.join(',')}]` : ''}.`,
        );
      continue;
    }
    if (cells.length !== heading.length)
      throw new UsageError(
        `${where}: ${cells.length} cells, but the first line names ${heading.length} columns.`,
      );
    const row: Record<string, number> = {};
    for (const [place, name] of heading.entries()) {
      const cell = cells[place] as string;
      if (!wanted.includes(name)) continue;
      row[name] = numberFrom(cell, `${where}, ${name}`);
    }
    rows.push(row);
  }
  if (!heading)
    throw new UsageError(`${file} is empty. Its first line names the columns: ${wanted.join(',')}.`);
  if (rows.length === 0) throw new UsageError(`${file} names its columns and has no points below them.`);
  return rows as (Record<Needed, number> & Partial<Record<Optional, number>>)[];
}
