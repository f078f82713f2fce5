import { describe, expect, test } from 'vitest';
import { csvCell, fullCsv } from '../../../host/exchange/csv.js';
import { parseRfc3339 } from '../../../host/exchange/exchange-row.js';
import { reading, startAt } from '../store/made-readings.js';

describe('a cell that a spreadsheet would run as a formula', () => {
  // The characters that begin one: OWASP, "CSV Injection" (from memory).
  test.each(['=1+1', '+1', '-1+cmd', '@SUM(A1)', '\tx'])('%j is neutralised by an apostrophe', (text) => {
    expect(csvCell(text).replace(/^"/, '')).toMatch(/^'/);
  });

  test('a number below zero is a number', () => {
    expect(csvCell(-1.5)).toBe('-1.5');
  });

  test('a certificate with such a name comes back as it was', () => {
    const row = {
      rate: 'second',
      reading: reading('port-elbow', startAt, { certificate: '=port@1' }),
    } as const;
    expect(fullCsv.write(row)).toContain(",'=port@1,");
    expect(fullCsv.read(fullCsv.write(row))).toMatchObject({ reading: { certificate: '=port@1' } });
  });
});

describe('an invalid time', () => {
  test.each([
    '2026-02-30T00:00:00Z',
    '2026-02-29T00:00:00Z',
    '2026-04-31T12:00:00Z',
    '2026-13-01T00:00:00Z',
    '2026-01-00T00:00:00Z',
    '9999-12-31T23:59:59Z',
    '1969-12-31T23:59:59Z',
    '2101-01-01T00:00:00Z',
  ])('%s is refused', (text) => {
    expect(parseRfc3339(text)).toBeUndefined();
  });

  test.each([
    ['2024-02-29T00:00:00Z', Date.UTC(2024, 1, 29)],
    ['1970-01-01T00:00:05Z', 5_000],
    ['2100-12-31T23:59:59Z', Date.UTC(2100, 11, 31, 23, 59, 59)],
  ])('%s is taken', (text, at) => {
    expect(parseRfc3339(text)).toBe(at);
  });

  test('a row of another form with such a time is refused, too', () => {
    const far = { rate: 'second', reading: reading('port-elbow', startAt) } as const;
    expect(fullCsv.read(fullCsv.write(far).replace(/^\d{4}/, '9999'))).toMatch(/RFC 3339/);
  });
});
