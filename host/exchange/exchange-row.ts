import { missingReasons, type Quality, type RawUnit, type ReadingRow, slugShape } from '../../node/index.js';
import { checkRow, type Rate } from '../store/index.js';

/** A reading outside the store: the row, and which series it belongs to. `probe` is the store's unique name. */
export type ExchangeRow = { readonly node?: string; readonly rate: Rate; readonly reading: ReadingRow };

/** One way to write readings to a text file, a line each, and to read them back. */
export type Format = {
  /** First line of a file; absent where each line names its fields. */
  readonly header?: string;
  readonly write: (row: ExchangeRow) => string;
  /** The row, or one sentence on what is wrong with the line. Never throws. */
  readonly read: (line: string) => ExchangeRow | string;
};

/** The words of one line, by column; absent or empty where there is nothing. */
export type Words = Readonly<Partial<Record<(typeof columnNames)[number] | typeof oldProbeName, string>>>;

export const columnNames = [
  'time',
  'probe',
  'temperatureC',
  'raw',
  'rawUnit',
  'coldJunctionC',
  'quality',
  'uncertaintyC',
  'certificate',
  'node',
  'rate',
  'pressureKpa',
  'uncertaintyKpa',
  'speedRpm',
  'uncertaintyRpm',
] as const;

/** The columns that hold numbers. */
export const numberNames = [
  'temperatureC',
  'raw',
  'coldJunctionC',
  'uncertaintyC',
  'pressureKpa',
  'uncertaintyKpa',
  'speedRpm',
  'uncertaintyRpm',
] as const;

/** What files, clients and servers before version 0.3 call a probe. */
export const oldProbeName = 'channel';

const numberShape = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d{1,3})?$/i;
const probeShape = /^([a-z][a-z0-9-]{0,39}\/)?[a-z][a-z0-9-]{0,39}$/;
const qualities: readonly string[] = ['good', ...missingReasons];
const rawUnits: readonly string[] = ['ohm', 'microvolt', 'volt'];

/** Turns words into a checked row, or says what is wrong. `at` is wall milliseconds, already read from its own form. */
export const rowFromWords = (at: number, words: Words): ExchangeRow | string => {
  const {
    [oldProbeName]: old = '',
    probe = old,
    quality = '',
    rawUnit = '',
    certificate = '',
    node = '',
    rate = '',
  } = words;
  if (!isPlausible(at)) return `the time is not in the years ${firstYear} to ${lastYear}`;
  if (!probeShape.test(probe)) return `probe "${probe}" is not a probe id such as port-elbow`;
  if (!qualities.includes(quality)) return `quality "${quality}" is not one of ${qualities.join(', ')}`;
  if (rawUnit !== '' && !rawUnits.includes(rawUnit))
    return `rawUnit "${rawUnit}" is not one of ${rawUnits.join(', ')}`;
  if (node !== '' && !slugShape.test(node)) return `node "${node}" is not a node id such as engine-room`;
  if (rate !== '' && rate !== 'second' && rate !== 'episode')
    return `rate "${rate}" is neither second nor episode`;
  if (certificate.length > 200) return 'the certificate has a name of more than 200 characters';
  const numbers: Partial<Record<(typeof numberNames)[number], number>> = {};
  for (const name of numberNames) {
    const word = words[name] ?? '';
    if (word === '') continue;
    if (!numberShape.test(word)) return `${name} "${word}" is not a number`;
    numbers[name] = Number(word);
  }
  const reading = checkRow({
    probe,
    at,
    ...numbers,
    ...(rawUnit !== '' && { rawUnit: rawUnit as RawUnit }),
    quality: quality as Quality,
    ...(certificate !== '' && { certificate }),
  });
  if (typeof reading === 'string') return reading;
  return { ...(node !== '' && { node }), rate: rate === 'episode' ? 'episode' : 'second', reading };
};

/** RFC 3339 with milliseconds in UTC. */
export const rfc3339 = (at: number): string => new Date(at).toISOString();

/** A computer without a clock battery lives in 1970; what is beyond this is a typing error or damage. */
const [firstYear, lastYear] = [1970, 2100] as const;
const earliestAt = Date.UTC(firstYear, 0, 1);
const endAt = Date.UTC(lastYear + 1, 0, 1);

const isPlausible = (at: number): boolean => at >= earliestAt && at < endAt;

/** The days of a month, which `Date.parse` does not hold to: it takes 30 February for 2 March. */
const isDay = (text: string): boolean => {
  const [year = 0, month = 0, day = 0] = text.slice(0, 10).split('-').map(Number);
  return day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
};

const timeShape = /^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}:\d{2}(\.\d{1,9})?([Zz]|[+-]\d{2}:\d{2})$/;

/** Wall milliseconds of an RFC 3339 time of the years 1970 to 2100, or undefined for other text. Finer parts than a millisecond are rounded. */
export const parseRfc3339 = (text: string): number | undefined => {
  if (!timeShape.test(text) || !isDay(text)) return undefined;
  const fraction = /\.\d+/.exec(text)?.[0] ?? '';
  const at = Date.parse(text.replace(fraction, '').replace(' ', 'T').toUpperCase());
  if (!Number.isFinite(at) || !isPlausible(at)) return undefined;
  return at + Math.round(Number(`0${fraction}`) * 1000);
};
