import { RoomError } from '../../node/index.js';
import { csvFromHeader } from './csv.js';
import type { ExchangeRow, Format } from './exchange-row.js';
import { jsonLines } from './json-lines.js';
import { lineProtocol } from './line-protocol.js';
import { textLines } from './text-lines.js';

/** One line of a file: the row, or one sentence on what is wrong with it. */
export type ReadLine = { readonly line: number; readonly row: ExchangeRow | string };

/** A line that could not be used, and where. */
export type RefusedLine = { readonly line: number; readonly why: string };

/** The file as a whole cannot be read: the message says why. */
export class ImportError extends RoomError {
  readonly code = 'not-readings';
  readonly errorCategory = 'usage';
}

/**
 * The lines of a CSV, JSON lines or line protocol file, whichever its first line is. Empty lines and lines that begin
 * with # are passed over. A damaged line loses only itself, an open quote too. Throws `ImportError`.
 */
export async function* readRows(chunks: AsyncIterable<Uint8Array>): AsyncGenerator<ReadLine> {
  let read: Format['read'] | undefined;
  let line = 0;
  for await (const text of textLines(chunks)) {
    line++;
    if (text.trim() === '' || text.startsWith('#')) continue;
    if (!read) {
      const first = text.replace(/^\uFEFF/, '');
      const found = readerFor(first);
      if (typeof found === 'string') throw new ImportError(`Line ${line}: ${found}.`);
      read = found;
      if (isLineOfItsOwn(first)) yield { line, row: read(first) };
      continue;
    }
    yield { line, row: read(text) };
  }
  if (!read) throw new ImportError('There is nothing to import: the file is empty.');
}

const isLineOfItsOwn = (line: string): boolean => line.startsWith('{') || line.startsWith('reading,');

const readerFor = (firstLine: string): Format['read'] | string => {
  if (firstLine.startsWith('{')) return jsonLines.read;
  if (firstLine.startsWith('reading,')) return lineProtocol.read;
  const csv = csvFromHeader(firstLine);
  return typeof csv === 'string' && firstLine.includes(';') && !firstLine.includes(',')
    ? 'the columns are parted by semicolons; save the file with commas'
    : csv;
};
