import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Format } from '../../../host/exchange/exchange-row.js';
import {
  exportReadings,
  fullCsv,
  importReadings,
  jsonLines,
  lineProtocol,
  shortCsv,
} from '../../../host/exchange/index.js';
import { checkRow, openStore, type Store } from '../../../host/store/index.js';
import type { ReadingRow } from '../../../node/link/messages.js';
import { valueNames } from '../../../node/reading/quantity.js';
import { missingReasons } from '../../../node/reading/reading.js';
import { movableClock, startAt } from '../store/made-readings.js';

const openEmpty = () => openStore(mkdtempSync(join(tmpdir(), 'elbowroom-exchange-')), movableClock().clock);

const exported = (store: Store, format: Format): string => {
  let text = format.header === undefined ? '' : `${format.header}\n`;
  for (const row of exportReadings(store, store.allSeries(), { from: 0, to: 9e15 }))
    text += `${format.write(row)}\n`;
  return text;
};

async function* chunksOf(text: string, size: number): AsyncGenerator<Uint8Array> {
  const bytes = Buffer.from(text);
  for (let i = 0; i < bytes.length; i += size) yield bytes.subarray(i, i + size);
}

const number = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 });
const decimals = (least: number, most: number) =>
  fc.integer({ min: least * 1000, max: most * 1000 }).map((n) => n / 1000);
const at = fc.oneof(
  fc.integer({ min: 0, max: 20 * 3600 }).map((s) => startAt + s * 1000),
  fc.integer({ min: 0, max: 20_000_000 }).map((ms) => startAt + ms),
);
const certificate = fc.stringMatching(/^[a-z][a-z0-9 ,="@.-]{0,20}[a-z0-9]$/);

/** The header of files from before there were other quantities. */
const beforePressure = 'time,channel,temperatureC,raw,rawUnit,coldJunctionC,quality';

/** What each probe of the made rows measures. */
const names = (probe: string) =>
  valueNames[probe === 'port-pump' ? 'pressure' : probe === 'port-speed' ? 'speed' : 'temperature'];

const row: fc.Arbitrary<ReadingRow> = fc
  .record({
    probe: fc.constantFrom('port-elbow', 'sea', 'aft/port-elbow', 'port-pump', 'port-speed'),
    at,
    measured: fc.boolean(),
    temperatureC: decimals(-50, 1300),
    reason: fc.constantFrom(...missingReasons),
    raw: fc.option(fc.oneof(number, decimals(0, 100_000))),
    rawUnit: fc.constantFrom('ohm', 'microvolt', 'volt'),
    coldJunctionC: fc.option(fc.integer({ min: -640, max: 2000 }).map((n) => n / 16)),
    uncertaintyC: fc.option(decimals(0, 9)),
    certificate: fc.option(certificate),
  })
  .map(
    ({
      probe,
      at,
      measured,
      temperatureC,
      reason,
      raw,
      rawUnit,
      coldJunctionC,
      uncertaintyC,
      certificate,
    }) => ({
      probe,
      at,
      quality: measured ? ('good' as const) : reason,
      ...(measured && { [names(probe).value]: temperatureC }),
      ...(raw !== null && { raw, rawUnit: rawUnit as 'ohm' }),
      ...(coldJunctionC !== null && { coldJunctionC }),
      // A reading that is missing has no uncertainty.
      ...(measured && uncertaintyC !== null && { [names(probe).uncertainty]: uncertaintyC }),
      ...(certificate !== null && { certificate }),
    }),
  );

const fill = (store: Store, rows: readonly ReadingRow[]) => {
  for (const rate of ['second', 'episode'] as const)
    for (const name of new Set(rows.map((r) => r.probe)))
      store.bulk.rows([
        {
          name,
          rate,
          rows: rows.filter((r) => r.probe === name).map((r) => checkRow(r) as ReadingRow),
        },
      ]);
};

const contents = (store: Store) =>
  store
    .probes()
    .toSorted((a, b) => (a.name < b.name ? -1 : 1))
    .map(({ name, node }) => ({
      name,
      node,
      second: store.span({ probe: name, from: 0, to: 9e15 }),
      episode: store.span({ probe: name, from: 0, to: 9e15, rate: 'episode' }),
    }));

describe('what is exported comes back bit for bit', () => {
  const whole = { 'CSV, full': fullCsv, 'JSON lines': jsonLines, 'line protocol': lineProtocol };
  for (const [name, format] of Object.entries(whole))
    it(`${name}: any readings, in any chunks, into an empty store`, async () => {
      await fc.assert(
        fc.asyncProperty(
          fc.array(row, { minLength: 1, maxLength: 120 }),
          fc.integer({ min: 1, max: 4000 }),
          async (rows, size) => {
            const from = openEmpty();
            const to = openEmpty();
            fill(from, rows);
            const text = exported(from, format);
            const imported = await importReadings(to, chunksOf(text, size));
            expect(imported.refused).toBe(0);
            expect(imported.added).toBe(imported.lines);
            expect(contents(to)).toEqual(contents(from));
            expect(exported(to, format)).toBe(text);
            const again = await importReadings(to, chunksOf(text, 4096));
            expect(again).toMatchObject({ added: 0, already: imported.lines, differing: 0 });
            from.close();
            to.close();
          },
        ),
        { numRuns: 8 },
      );
    });

  it('CSV of nine columns: the same, but for uncertainty, certificate and rate', async () => {
    const from = openEmpty();
    const to = openEmpty();
    const rows = fc
      .sample(row, { numRuns: 500, seed: 7 })
      .map(({ uncertaintyC, uncertaintyKpa, uncertaintyRpm, certificate, ...r }) => r);
    fill(from, rows);
    const seconds = from.allSeries().filter((s) => s.rate === 'second');
    let text = `${shortCsv.header}\n`;
    for (const r of exportReadings(from, seconds, { from: 0, to: 9e15 })) text += `${shortCsv.write(r)}\n`;
    expect(text.split('\n')[0]).toBe(
      'time,probe,temperatureC,raw,rawUnit,coldJunctionC,quality,pressureKpa,speedRpm',
    );
    await importReadings(to, chunksOf(text, 997));
    for (const probe of ['sea', 'port-pump', 'port-speed']) {
      const asked = { probe, from: 0, to: 9e15 };
      expect(from.span(asked).length).toBeGreaterThan(50);
      expect(to.span(asked)).toEqual(from.span(asked));
    }
  });
});

describe('an import', () => {
  it('takes CRLF, a byte order mark, offsets, columns in another order, and the probe under its old name, channel', async () => {
    const store = openEmpty();
    const text =
      '\uFEFFchannel,time,quality,temperatureC\r\nport-elbow,2026-05-01T10:00:00.250+02:00,good,61.5\r\n';
    expect(await importReadings(store, chunksOf(text, 7))).toMatchObject({ added: 1, refused: 0 });
    expect(store.span({ probe: 'port-elbow', from: 0, to: 9e15 })).toEqual([
      { probe: 'port-elbow', at: startAt + 250, temperatureC: 61.5, quality: 'good' },
    ]);
  });

  it('counts and names lines it cannot read, and takes the others', async () => {
    const store = openEmpty();
    const text = `${beforePressure}
2026-05-01T08:00:00Z,port-elbow,61.5,,,,good
2026-05-01T08:00:01Z,port-elbow,warm,,,,good
yesterday,port-elbow,61.5,,,,good
2026-05-01T08:00:03Z,port-elbow,,,,,good
2026-05-01T08:00:04Z,port-elbow,61.5,12,,,good
2026-05-01T08:00:05Z,port-elbow,61.5,,,,open
2026-05-01T08:00:06Z,port-elbow,,,,,open
`;
    const { firstRefused, ...counts } = await importReadings(store, chunksOf(text, 64));
    expect(counts).toEqual({ lines: 7, added: 2, already: 0, differing: 0, refused: 5 });
    expect(firstRefused).toEqual([
      { line: 3, why: 'temperatureC "warm" is not a number' },
      {
        line: 4,
        why: 'time "yesterday" is neither RFC 3339, such as 2026-05-01T08:00:00.000Z, nor Unix milliseconds',
      },
      { line: 5, why: 'quality is good and there is no temperature, pressure or speed' },
      { line: 6, why: 'raw and rawUnit must come together' },
      { line: 7, why: 'there is a temperature although quality is open' },
    ]);
  });

  it('never changes what is stored; it counts where the file says something else', async () => {
    const store = openEmpty();
    const line = (value: number) => `${beforePressure}\n2026-05-01T08:00:00Z,port-elbow,${value},,,,good\n`;
    await importReadings(store, chunksOf(line(61), 64));
    expect(await importReadings(store, chunksOf(line(62), 64))).toMatchObject({
      added: 0,
      already: 1,
      differing: 1,
    });
    expect(store.span({ probe: 'port-elbow', from: 0, to: 9e15 })[0]?.temperatureC).toBe(61);
  });

  it('gives a probe that was only imported to the node that turns up with it', async () => {
    const store = openEmpty();
    await importReadings(
      store,
      chunksOf(`${beforePressure}\n2026-05-01T08:00:00Z,port-elbow,61,,,,good\n`, 64),
    );
    store.intake.take({
      node: 'engine-room',
      boot: 'b',
      seq: 1,
      message: {
        kind: 'readings',
        rate: 'second',
        rows: [{ probe: 'port-elbow', at: startAt + 1000, temperatureC: 62, quality: 'good' }],
      },
    });
    store.intake.commit();
    expect(store.probes()).toMatchObject([{ name: 'port-elbow', node: 'engine-room' }]);
    expect(store.span({ probe: 'port-elbow', from: 0, to: 9e15 })).toHaveLength(2);
  });

  for (const [what, text, why] of [
    ['a file of another kind', 'when;value\n1;2\n', /parted by semicolons/],
    ['an unknown column', 'time,probe,quality,speed\n', /names "speed"/],
    ['an empty file', '', /empty/],
  ] as const)
    it(`refuses ${what} whole`, async () => {
      await expect(importReadings(openEmpty(), chunksOf(text, 64))).rejects.toThrow(why);
    });
});
