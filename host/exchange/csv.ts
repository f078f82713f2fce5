import { quantities, valueNames } from '../../node/index.js';
import {
  columnNames,
  type ExchangeRow,
  type Format,
  oldProbeName,
  parseRfc3339,
  rfc3339,
  rowFromWords,
} from './exchange-row.js';

/** The columns every script may rely on; the full form has uncertainty, certificate, node and rate between them. */
const shortColumns = [...columnNames.slice(0, 7), 'pressureKpa', 'speedRpm'] as const;

type Column = (typeof columnNames)[number];

/** How a spreadsheet recognises a formula, which it would run; a number is not one. */
const formulaStart = /^[=+\-@\t\r]/;
const neutralised = /^'(?=[=+\-@\t\r])/;

/**
 * A cell of RFC 4180: quoted where it must be, empty where there is nothing. A text that a spreadsheet would run as a
 * formula gets an apostrophe before it, which is removed again when the file is read here.
 */
export const csvCell = (value: string | number | boolean | undefined): string => {
  const plain = value === undefined ? '' : String(value);
  const text = typeof value === 'string' && formulaStart.test(plain) ? `'${plain}` : plain;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

/** Splits by RFC 4180; nothing when a quote is left open. */
export const csvCells = (line: string): string[] | undefined => {
  if (!line.includes('"')) return line.split(',');
  const found: string[] = [];
  const pattern = /(?:"((?:[^"]|"")*)"|([^",]*))(,|$)/y;
  for (;;) {
    const match = pattern.exec(line);
    if (!match) return undefined;
    found.push(match[1]?.replaceAll('""', '"') ?? match[2] ?? '');
    if (match[3] === '') return found;
  }
};

/** Reads lines whose cells are in the order of `columns`. */
const reader = (columns: readonly Column[]): Format['read'] => {
  const timeAt = columns.indexOf('time');
  return (line) => {
    const words = csvCells(line)?.map((word) => word.trim().replace(neutralised, ''));
    if (!words) return 'a quote is left open';
    if (words.length !== columns.length)
      return `${words.length} cells where the header names ${columns.length} columns`;
    const at = momentOf(words[timeAt] ?? '');
    if (at === undefined)
      return `time "${words[timeAt]}" is neither RFC 3339, such as 2026-05-01T08:00:00.000Z, nor Unix milliseconds`;
    const named = Object.fromEntries(columns.map((name, i) => [name, words[i]]));
    // A logbook that has no quality says so by leaving it out: a value is good, and where there is none it must be named.
    return rowFromWords(at, { ...named, quality: named.quality || 'good' });
  };
};

const momentOf = (time: string): number | undefined =>
  /^\d{10,15}(\.\d+)?$/.test(time) ? Number(time) : parseRfc3339(time);

const firstCells = (reading: ExchangeRow['reading']): string => {
  const { at, probe, temperatureC, raw, rawUnit, coldJunctionC, quality } = reading;
  return `${rfc3339(at)},${probe},${temperatureC ?? ''},${raw ?? ''},${rawUnit ?? ''},${coldJunctionC ?? ''},${quality}`;
};

const writeShort = ({ reading }: ExchangeRow): string => {
  return `${firstCells(reading)},${reading.pressureKpa ?? ''},${reading.speedRpm ?? ''}`;
};

export const shortCsv: Format = {
  header: shortColumns.join(','),
  write: writeShort,
  read: reader(shortColumns),
};

export const fullCsv: Format = {
  header: columnNames.join(','),
  write: ({ reading, node, rate }) =>
    `${firstCells(reading)},${reading.uncertaintyC ?? ''},${csvCell(reading.certificate)},${csvCell(node)},${rate},${reading.pressureKpa ?? ''},${reading.uncertaintyKpa ?? ''},${reading.speedRpm ?? ''},${reading.uncertaintyRpm ?? ''}`,
  read: reader(columnNames),
};

/** How to read a CSV file with this first line: our columns in any order, time, probe and a value at least. */
export const csvFromHeader = (header: string): Format['read'] | string => {
  const names = (csvCells(header) ?? [])
    .map((name) => name.trim())
    .map((name) => (name === oldProbeName ? 'probe' : name));
  const isColumn = (name: string): name is Column => (columnNames as readonly string[]).includes(name);
  const unknown = names.filter((name) => !isColumn(name));
  if (unknown.length > 0)
    return `the header names ${unknown.map((name) => `"${name}"`).join(', ')}; known columns are ${columnNames.join(',')}`;
  if (new Set(names).size !== names.length) return 'the header names a column twice';
  for (const name of ['time', 'probe']) if (!names.includes(name)) return `the header has no column ${name}`;
  if (!quantities.some((quantity) => names.includes(valueNames[quantity].value)))
    return `the header has none of ${quantities.map((quantity) => valueNames[quantity].value).join(', ')}`;
  return reader(names.filter(isColumn));
};
