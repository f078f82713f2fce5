import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  exportReadings,
  importReadings,
  inOrderOfTime,
  runningRows,
  shortCsv,
} from '../../../host/exchange/index.js';
import { openStore, type Store } from '../../../host/store/index.js';
import { movableClock, startAt } from '../store/made-readings.js';

const openEmpty = () => openStore(mkdtempSync(join(tmpdir(), 'elbowroom-running-')), movableClock().clock);
const everything = { from: 0, to: 9e15 };

async function importCsv(store: Store, lines: readonly string[]) {
  async function* chunks() {
    yield Buffer.from(`${lines.join('\n')}\n`);
  }
  return importReadings(store, chunks());
}
const header = 'time,probe,temperatureC,raw,rawUnit,coldJunctionC,quality';
const time = (s: number) => new Date(startAt + s * 1000).toISOString();

describe('running inputs in exported and imported files', () => {
  it('an input that is written only when it changes holds its level until its next row, the last to the end of the file', async () => {
    const store = openEmpty();
    const taken = await importCsv(store, [
      header,
      `${time(0)},port-elbow,20,,,,good`,
      `${time(10)},running-port,1,,,,good`,
      `${time(5)},running-main,1,,,,good`,
      `${time(400)},running-port,0,,,,good`,
      `${time(900)},port-elbow,30,,,,good`,
    ]);
    expect(taken).toMatchObject({ lines: 5, refused: 0, added: 2 });
    const spans = (engine: string) =>
      store.runSpans({ engine, ...everything }).map((s) => [s.startAt - startAt, s.endAt - startAt]);
    expect(spans('port')).toEqual([[10_000, 400_000]]);
    expect(spans('main')).toEqual([[5_000, 900_000]]);
  });

  it('what is exported and imported again gives the same spans, and once more changes nothing', async () => {
    const store = openEmpty();
    store.bulk.runSpans([
      { node: 'a', engine: 'port', startAt: startAt + 1000, endAt: startAt + 61_000 },
      { node: 'a', engine: 'port', startAt: startAt + 90_000, endAt: startAt + 95_500 },
      { node: 'a', engine: 'starboard', startAt: startAt + 2000, endAt: startAt + 62_000 },
    ]);
    const rows = [
      ...inOrderOfTime(exportReadings(store, store.allSeries(), everything), runningRows(store, everything)),
    ];
    const times = rows.map((row) => row.reading.at);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const other = openEmpty();
    for (let round = 0; round < 2; round++) {
      await importCsv(other, [shortCsv.header ?? '', ...rows.map((row) => shortCsv.write(row))]);
      for (const engine of ['port', 'starboard']) {
        const whens = (of: Store) =>
          of.runSpans({ engine, ...everything }).map(({ startAt: from, endAt }) => [from, endAt]);
        expect(whens(other)).toEqual(whens(store));
      }
    }
  });
});
