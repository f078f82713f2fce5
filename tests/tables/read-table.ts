import { readFileSync } from 'node:fs';

export type Row = Readonly<Record<string, string>>;

/** Rows of a CSV in this folder; lines starting with `#` carry its source, unit and licence. */
export function readTable(name: string): readonly Row[] {
  const lines = readFileSync(new URL(`./${name}`, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'));
  const names = (lines.shift() ?? '').split(',');
  return lines.map((line) => Object.fromEntries(line.split(',').map((cell, i) => [names[i] ?? i, cell])));
}

/** A JSON document of this folder. */
export function readDocument<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`./${name}`, import.meta.url), 'utf8')) as T;
}

/** Half the last digit as printed: '4.096' gives 0.0005, '1000' gives 0.5. */
export function halfLastDigit(printed: string): number {
  const decimals = printed.split('.')[1]?.length ?? 0;
  return 0.5 * 10 ** -decimals;
}
