import { chosenDegrees } from '../../settings/chosen-degrees.js';
import type { Degrees } from '../../wording/degrees.js';
import { UsageError } from '../exit.js';
import { flagOption, textOption } from '../usual-options.js';
import { mapLines } from './line-stream.js';
import { numberFrom, refusing } from './numbers.js';

/** Named numbers with their unit in the name; the first is the answer, the rest explain it. */
export type Answer = Readonly<Record<string, number>>;

/** The quantities of one conversion by name; each is a number, or `-` for a column of the lines on stdin. */
type Quantities = Readonly<Record<string, string | undefined>>;

/** Options that every conversion takes. */
export const outputOptions = {
  json: flagOption('Print JSON; one object a line for a stream'),
  column: textOption('With -: which columns of CSV lines, by number from 1, or by name in the first line'),
} as const;

/** An option that takes a number, or `-` for lines on stdin. */
export const quantity = textOption;

/**
 * Converts one value, or every line of stdin when a quantity is `-`. A stream is for programs and stays Celsius; one value is
 * for a person and comes in the degrees of their choice.
 */
export async function runConversion(
  options: { readonly json: boolean; readonly column: string | undefined; readonly degrees?: unknown },
  quantities: Quantities,
  answerFor: (values: Readonly<Record<string, number>>) => Answer,
): Promise<void> {
  const values: Record<string, number> = {};
  const streamed: string[] = [];
  for (const [name, text] of Object.entries(quantities)) {
    if (text === '-') streamed.push(name);
    else if (text !== undefined) values[name] = numberFrom(text, optionName(name));
  }
  if (streamed.length === 0) {
    if (options.column !== undefined) throw new UsageError('--column needs a quantity given as -.');
    const answer = answerFor(values);
    console.log(options.json ? JSON.stringify(answer) : forPeople(answer, chosenDegrees(options)));
    return;
  }
  const columns = columnReader(options.column, streamed.length);
  await mapLines(process.stdin, process.stdout, (line, number) => {
    const cells = columns(line, number);
    if (!cells) return '';
    for (let i = 0; i < streamed.length; i++)
      values[streamed[i] as string] = numberFrom(cells[i] as string, `line ${number}`);
    const answer = refusing(`line ${number}`, () => answerFor(values));
    return options.json ? JSON.stringify(answer) : Object.values(answer).join(',');
  });
}

/** Takes the wanted cells from a line; undefined for the heading when columns are named. */
function columnReader(
  column: string | undefined,
  count: number,
): (line: string, number: number) => readonly string[] | undefined {
  const wanted = column?.split(',').map((c) => c.trim());
  if (wanted && wanted.length !== count)
    throw new UsageError(`--column names ${wanted.length} columns, but ${count} quantities are given as -.`);
  const numbered = !wanted || wanted.every((c) => /^[1-9]\d*$/.test(c));
  let places = numbered ? wanted?.map((c) => Number(c) - 1) : undefined;
  return (line, number) => {
    if (!wanted && count === 1) return [line];
    const cells = line.split(',').map((c) => c.trim());
    if (!numbered && number === 1) {
      places = wanted?.map((name) => cells.indexOf(name));
      const missing = wanted?.find((_, i) => places?.[i] === -1);
      if (missing !== undefined)
        throw new UsageError(`line 1: no column "${missing}". The first line names: ${cells.join(', ')}.`);
      return undefined;
    }
    return Array.from({ length: count }, (_, i) => {
      const cell = cells[places?.[i] ?? i];
      if (cell === undefined)
        throw new UsageError(`line ${number}: only ${cells.length} of the columns needed: "${line}".`);
      return cell;
    });
  };
}

const optionName = (name: string): string => `--${name.replace(/[A-Z]/g, (c) => `-${c.toLowerCase()}`)}`;

type UnitOf = { readonly ending: RegExp; readonly unit: string; readonly inUnit?: (value: number) => number };

const unitsIn = ({ letter, point, span }: Degrees): readonly UnitOf[] => [
  { ending: /MicrovoltsPerC$/, unit: `uV/${letter}`, inUnit: (perC) => perC / span(1) },
  { ending: /PerCount$/, unit: `${letter} per count`, inUnit: span },
  { ending: /C$/, unit: letter, inUnit: point },
  { ending: /Mv$/, unit: 'mV' },
  { ending: /Hpa$/, unit: 'hPa' },
  { ending: /ohms$/i, unit: 'ohms' },
  { ending: /volts$/i, unit: 'V' },
];

/** `124.309948 C, 41.2 uV/C`: the answer first, six decimals at most. */
function forPeople(answer: Answer, degrees: Degrees): string {
  const units = unitsIn(degrees);
  return Object.entries(answer)
    .map(([name, value]) => {
      const { unit = name, inUnit = (same: number) => same } = units.find((u) => u.ending.test(name)) ?? {};
      return `${Number(inUnit(value).toFixed(6))} ${unit}`;
    })
    .join(', ');
}
