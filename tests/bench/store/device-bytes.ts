import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { openStore } from '../../../host/store/index.js';
import { movableClock, numbering, reading, startAt } from '../../host/store/made-readings.js';
import { seasonProbes } from './invented-season.js';
import { SmallDisk } from './small-disk.js';

const hours = 3;
const count = hours * 3600;

/** Bytes that reach the device, file system and all, for each live reading: eight probes, once a second, three hours. */
export const deviceBytesPerReading = () => ({
  store: measure(runStore),
  plainEveryTenSeconds: measure((folder) => runPlain(folder, 10)),
  plainEverySecond: measure((folder) => runPlain(folder, 1)),
});

const measure = (run: (folder: string) => void): number => {
  const disk = SmallDisk.make(128);
  const source = execFileSync('findmnt', ['-n', '-o', 'SOURCE', disk.mount], { encoding: 'utf8' }).trim();
  const stat = `/sys/block/${source.split('/').at(-1)}/stat`;
  const written = () => Number(readFileSync(stat, 'utf8').trim().split(/\s+/)[6]) * 512;
  execFileSync('sync', ['-f', disk.mount]);
  const before = written();
  run(disk.mount);
  execFileSync('sync', ['-f', disk.mount]);
  const bytes = written() - before;
  disk.remove();
  return bytes / (count * seasonProbes.length);
};

const runStore = (folder: string): void => {
  const time = movableClock();
  const store = openStore(join(folder, 'host'), time.clock);
  const next = numbering();
  for (let i = 0; i < count; i++) {
    const rows = seasonProbes.map(({ probe }) => reading(probe, startAt + i * 1000));
    store.intake.take(next({ kind: 'readings', rate: 'second', rows }));
    if (i % 5 === 0)
      store.intake.take(
        next({
          kind: 'status',
          at: startAt + i * 1000,
          board: 'connected',
          boardDetail: '',
          running: { port: true, starboard: true },
          counters: { framesLost: 0, boardRefused: 0, boardReconnects: 0, passes: i * 10 },
        }),
      );
    time.advance(1000);
    store.intake.tick();
  }
  store.close();
};

/** What one would write first: a table with an index for charts, each commit safe on the disk. */
const runPlain = (folder: string, everySeconds: number): void => {
  const file = new Database(join(folder, 'plain.sqlite'));
  file.pragma('journal_mode = WAL');
  file.pragma('synchronous = FULL');
  file.exec(`CREATE TABLE reading(time INTEGER, channel TEXT, temperatureC REAL, raw REAL, uncertaintyC REAL, quality TEXT);
    CREATE INDEX byChannel ON reading(channel, time)`);
  const insert = file.prepare('INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?)');
  for (let i = 0; i < count; i++) {
    if (i % everySeconds === 0) file.exec(i === 0 ? 'BEGIN' : 'COMMIT; BEGIN');
    for (const { probe } of seasonProbes) {
      const row = reading(probe, startAt + i * 1000);
      insert.run(row.at, probe, row.temperatureC, row.raw, row.uncertaintyC, row.quality);
    }
  }
  file.exec('COMMIT');
  file.close();
};
