import { quantities, type ReadingRow, valueNames } from '../../../node/index.js';

/** Values beyond this are refused; the file keeps thousandths in 32 bits. */
const greatest = 100_000;
const valueColumns = Object.values(valueNames).flatMap(({ value, uncertainty }) => [value, uncertainty]);
/** The last millisecond that a date can name. */
const lastMs = 8_640_000_000_000_000;

/**
 * A reading as the store keeps it (time in whole milliseconds, value and uncertainty in thousandths of their
 * unit, everything else exact), or one sentence on why it cannot be kept.
 */
export const checkRow = (row: ReadingRow): ReadingRow | string => {
  const at = Math.round(row.at);
  if (!(at >= 0 && at <= lastMs)) return `time ${row.at} is not a valid time`;
  const values = quantities.filter((quantity) => row[valueNames[quantity].value] !== undefined);
  if (values.length > 1) return `there are values of ${values.join(' and ')} in one reading`;
  if ((row.quality === 'good') !== (values.length === 1))
    return row.quality === 'good'
      ? 'quality is good and there is no temperature, pressure or speed'
      : `there is a ${values[0]} although quality is ${row.quality}`;
  if ((row.raw === undefined) !== (row.rawUnit === undefined)) return 'raw and rawUnit must come together';
  for (const name of [...valueColumns, 'raw', 'coldJunctionC'] as const) {
    const value = row[name];
    if (value !== undefined && !Number.isFinite(value)) return `${name} ${value} is not a number`;
  }
  for (const { value, uncertainty } of Object.values(valueNames)) {
    if (Math.abs(row[value] ?? 0) > greatest) return `${value} ${row[value]} is out of any range`;
    if (!((row[uncertainty] ?? 0) >= 0 && (row[uncertainty] ?? 0) <= greatest))
      return `${uncertainty} ${row[uncertainty]} is not an uncertainty`;
  }
  // Backslashes and control characters have no place in a line of text.
  const certificate = row.certificate?.replaceAll(/[\\\p{Cc}]/gu, '_').trim();
  return {
    probe: row.probe,
    at,
    ...Object.fromEntries(
      valueColumns.flatMap((name) => {
        const value = row[name];
        return value === undefined ? [] : [[name, thousandths(value)]];
      }),
    ),
    ...(row.raw !== undefined && { raw: row.raw + 0 }),
    ...(row.rawUnit !== undefined && { rawUnit: row.rawUnit }),
    ...(row.coldJunctionC !== undefined && { coldJunctionC: row.coldJunctionC + 0 }),
    quality: row.quality,
    ...(certificate !== undefined && certificate !== '' && { certificate }),
  };
};

/** Adding zero turns minus zero into zero, which has no place in a text file. */
const thousandths = (value: number): number => Math.round(value * 1000) / 1000 + 0;
