import Database from 'better-sqlite3';
import { expect } from 'vitest';
import { openStoreToRead } from '../../../host/store/index.js';
import { storePath } from '../../../host/store/tables/open-file.js';
import { systemClock } from '../../../node/time/clock.js';
import { startAt } from '../../host/store/made-readings.js';
import { contentsUpTo } from './node-side.js';

/**
 * Holds a store, left behind by a host that was cut off, against what it had confirmed: all of it there, nothing
 * twice, nothing that was not sent, the file sound. Gives the highest number it holds.
 */
export const expectWhole = (dataDir: string, confirmedSeq: number): number => {
  const file = new Database(storePath(dataDir));
  expect(file.pragma('integrity_check', { simple: true })).toBe('ok');
  const seq = (file.prepare('SELECT seq FROM progress').pluck().get() as number | undefined) ?? 0;
  expect(seq).toBeGreaterThanOrEqual(confirmedSeq);
  const changes = file.prepare('SELECT count(*), count(DISTINCT at) FROM alertChange').raw().get();
  file.close();
  const { readings, alerts } = contentsUpTo(seq);
  expect(changes).toEqual([alerts, alerts]);
  if (readings === 0) return seq;
  const store = openStoreToRead(dataDir, systemClock);
  const numbers = store
    .span({ probe: 'port-elbow', from: 0, to: 9e15 })
    .map((row) => (row.at - startAt) / 1000);
  store.close();
  let odd: number | undefined;
  for (let i = 2, n = 0; i <= seq && odd === undefined; i++) if (i % 10 !== 0 && numbers[n++] !== i) odd = i;
  expect({ odd, readings: numbers.length }).toEqual({ odd: undefined, readings });
  return seq;
};
