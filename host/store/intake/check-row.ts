import type { ReadingRow } from '../../../node/index.js';

/** Beyond this a temperature is not one; the file keeps thousandths in 32 bits. */
const hottestC = 100_000;
/** The last millisecond that a date can name. */
const lastMs = 8_640_000_000_000_000;

/**
 * A reading as the store keeps it (time in whole milliseconds, temperature and uncertainty in thousandths of a
 * degree, everything else exact), or one sentence on why it cannot be kept.
 */
export const checkRow = (row: ReadingRow): ReadingRow | string => {
  const at = Math.round(row.at);
  if (!(at >= 0 && at <= lastMs)) return `time ${row.at} is not a moment`;
  if ((row.quality === 'good') !== (row.temperatureC !== undefined))
    return row.quality === 'good'
      ? 'quality is good and there is no temperature'
      : `there is a temperature although quality is ${row.quality}`;
  if ((row.raw === undefined) !== (row.rawUnit === undefined)) return 'raw and rawUnit must come together';
  for (const name of ['temperatureC', 'uncertaintyC', 'raw', 'coldJunctionC'] as const) {
    const value = row[name];
    if (value !== undefined && !Number.isFinite(value)) return `${name} ${value} is not a number`;
  }
  if (Math.abs(row.temperatureC ?? 0) > hottestC) return `temperatureC ${row.temperatureC} is past all heat`;
  if (!((row.uncertaintyC ?? 0) >= 0 && (row.uncertaintyC ?? 0) <= hottestC))
    return `uncertaintyC ${row.uncertaintyC} is not a span of degrees`;
  // Backslashes and control characters have no place in a line of text.
  const certificate = row.certificate?.replaceAll(/[\\\p{Cc}]/gu, '_').trim();
  return {
    probe: row.probe,
    at,
    ...(row.temperatureC !== undefined && { temperatureC: thousandths(row.temperatureC) }),
    ...(row.uncertaintyC !== undefined && { uncertaintyC: thousandths(row.uncertaintyC) }),
    ...(row.raw !== undefined && { raw: row.raw + 0 }),
    ...(row.rawUnit !== undefined && { rawUnit: row.rawUnit }),
    ...(row.coldJunctionC !== undefined && { coldJunctionC: row.coldJunctionC + 0 }),
    quality: row.quality,
    ...(certificate !== undefined && certificate !== '' && { certificate }),
  };
};

/** Adding zero turns minus zero into zero, which has no place in a text file. */
const thousandths = (value: number): number => Math.round(value * 1000) / 1000 + 0;
