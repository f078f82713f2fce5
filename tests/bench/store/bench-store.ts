import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { openStore, type Store } from '../../../host/store/index.js';
import type { HistoryColumns } from '../../../host/store/intake/history.js';
import { systemClock } from '../../../node/time/clock.js';
import { startAt } from '../../host/store/made-readings.js';
import { deviceBytesPerReading } from './device-bytes.js';
import { inventedHours, seasonProbes } from './invented-season.js';
import { processorSeconds } from './processor-seconds.js';
import { mayMount } from './small-disk.js';
import { TimeSeriesServer } from './time-series-server.js';

/**
 * The store beside its peers in one run: a plain SQLite table, and a real time-series server. Prints ratios; charts
 * are in milliseconds of processor time, the server's over all its cores. Give the season's hours, 1500 by default.
 */
const hours = Number(process.argv[2] ?? 1500);
const piece = Math.min(100, hours);
const hourMs = 3_600_000;
const span = { from: startAt, to: startAt + hours * hourMs };
/** A day in the middle. */
const oneDay = {
  from: startAt + Math.max(0, Math.floor(hours / 2) - 12) * hourMs,
  to: startAt + (Math.max(0, Math.floor(hours / 2) - 12) + 24) * hourMs,
};
const folder = mkdtempSync(join(tmpdir(), 'elbowroom-bench-'));
const say = (text: string) => console.error(text);

const bestOf = async (times: number, work: () => unknown): Promise<number> => {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times; i++) {
    const start = performance.now();
    await work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
};

/** Milliseconds of processor time of one run, over all its cores: what else runs here matters little. */
const processorMs = async (spentMs: () => number, times: number, work: () => unknown): Promise<number> => {
  for (let warm = 0; warm < 3; warm++) await work();
  const before = spentMs();
  for (let i = 0; i < times; i++) await work();
  return (spentMs() - before) / times;
};

const ownMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

/** Readings a second in the store alone, without making them: of each probe the best piece, since others share the machine. */
const fillRateOf = (store: Store): number => {
  let ms = 0;
  for (let index = 0; index < seasonProbes.length; index++) {
    let best = Number.POSITIVE_INFINITY;
    for (let hour = 0; hour < hours; hour += piece) {
      const columns = inventedHours(index, hour, piece);
      const start = performance.now();
      store.addHistory(columns);
      best = Math.min(best, performance.now() - start);
    }
    ms += best;
  }
  return (piece * 3600 * seasonProbes.length * 1000) / ms;
};

/** Readings a second of one prepared insert in one transaction, the fastest way into a plain table. */
const plainInsertRate = (): number => {
  rmSync(join(folder, 'plain.sqlite'), { force: true });
  const file = new Database(join(folder, 'plain.sqlite'));
  file.exec(
    'CREATE TABLE reading(time INTEGER, channel INTEGER, temperatureC REAL, raw REAL, coldJunctionC REAL, uncertaintyC REAL, certificate INTEGER, quality INTEGER)',
  );
  const insert = file.prepare('INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
  const { at, temperatureC, raw, uncertaintyC } = inventedHours(0, 0, piece);
  const start = performance.now();
  file.transaction(() => {
    for (let i = 0; i < at.length; i++)
      insert.run(at[i], 1, temperatureC[i], raw?.[i], null, uncertaintyC?.[i], 1, 0);
  })();
  const rate = (at.length / (performance.now() - start)) * 1000;
  file.close();
  return rate;
};

const post = async (url: string, body: string): Promise<void> => {
  const response = await fetch(url, { method: 'POST', body });
  if (!response.ok) throw new Error(`${response.status} ${await response.text()}`);
};

const importColumn = async (
  server: TimeSeriesServer,
  name: string,
  h: HistoryColumns,
  values: Float64Array,
) => {
  const metric = {
    __name__: `reading_${name}`,
    channel: h.probe,
    quality: 'good',
    certificate: h.certificate,
  };
  const line = JSON.stringify({
    metric,
    values: Array.from(values, (v) => Math.round(v * 1000) / 1000),
    timestamps: Array.from(h.at),
  });
  await post(`${server.url}/api/v1/import`, line);
};

const folderBytes = (path: string): number =>
  readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0);

/** Bytes per reading on the server with every field of eight probes, after it has merged its parts. */
const serverBytesPerReading = async (): Promise<number> => {
  const server = await TimeSeriesServer.reserve();
  await server.start();
  for (let index = 0; index < seasonProbes.length; index++) {
    const h = inventedHours(index, 0, piece);
    for (const name of ['temperatureC', 'raw', 'coldJunctionC', 'uncertaintyC'] as const)
      if (h[name]) await importColumn(server, name, h, h[name]);
  }
  await server.flush();
  await fetch(`${server.url}/internal/force_merge`);
  let bytes = folderBytes(join(server.folder, 'data'));
  for (let same = 0; same < 3; ) {
    await new Promise((resolve) => setTimeout(resolve, 1000));
    const now = folderBytes(join(server.folder, 'data'));
    same = now === bytes ? same + 1 : 0;
    bytes = now;
  }
  await server.stop();
  rmSync(server.folder, { recursive: true });
  return bytes / (seasonProbes.length * piece * 3600);
};

/** The season of one probe on the server, and how long it takes to a chart of minimum, mean and maximum. */
const serverCharts = async (everyMs: number, dayEveryMs: number) => {
  const server = await TimeSeriesServer.reserve();
  await server.start();
  for (let hour = 0; hour < hours; hour += piece) {
    const h = inventedHours(0, hour, piece);
    await importColumn(server, 'temperatureC', h, h.temperatureC);
  }
  await server.flush();
  const chart = async (from: number, to: number, stepMs: number) => {
    const step = `${stepMs}ms`;
    const query = encodeURIComponent(`rollup(reading_temperatureC{channel="port-elbow"}[${step}])`);
    const url = `${server.url}/api/v1/query_range?query=${query}&start=${from / 1000}&end=${to / 1000}&step=${step}&nocache=1`;
    const answer = (await (await fetch(url)).json()) as { data: { result: { values: unknown[] }[] } };
    if (answer.data.result.length !== 3)
      throw new Error(`the server answers ${JSON.stringify(answer).slice(0, 300)}`);
  };
  const spent = () => processorSeconds(server.pid) * 1000;
  const season = await processorMs(spent, 5, () => chart(span.from, span.to, everyMs));
  const shortMs = await processorMs(spent, 60, () => chart(oneDay.from, oneDay.to, dayEveryMs));
  const oneDayWait = await bestOf(60, () => chart(oneDay.from, oneDay.to, dayEveryMs));
  await server.stop();
  rmSync(server.folder, { recursive: true });
  return { season, oneDay: shortMs, oneDayWait };
};

const row = (figure: string, measured: string, bar: string, met: boolean) =>
  console.log(`| ${figure} | ${measured} | ${bar} | ${met ? 'met' : 'NOT MET'} |`);

say(`A season of ${hours} h, ${seasonProbes.length} probes: ${(hours * 3600 * 8) / 1e6} M readings...`);
const store = openStore(join(folder, 'host'), systemClock);
const plainBefore = Math.max(plainInsertRate(), plainInsertRate(), plainInsertRate());
const fillRate = fillRateOf(store);
const plain = Math.max(plainBefore, plainInsertRate(), plainInsertRate());
store.close();
const bytes = statSync(join(folder, 'host', 'elbowroom.sqlite')).size / (hours * 3600 * seasonProbes.length);
say(
  `Filled: ${(fillRate / 1e6).toFixed(2)} M/s; a plain table ${(plain / 1e6).toFixed(2)} M/s. Opening again...`,
);
const openMs = await bestOf(3, () => openStore(join(folder, 'host'), systemClock).close());
const reader = openStore(join(folder, 'host'), systemClock);
const probe = 'port-elbow';
/** About a thousand buckets that are no whole hours: every reading is decoded. */
const exactMs = Math.round((hours / 1000) * 60 + 0.5) * 60_000 + (hours % 1000 === 0 ? 30_000 : 0);
const day = { probe, ...oneDay, everyMs: 120_000 };
const indexChart = await processorMs(ownMs, 60, () => reader.envelope({ probe, ...span, atMost: 1000 }));
const exactChart = await processorMs(ownMs, 5, () => reader.envelope({ probe, ...span, everyMs: exactMs }));
const dayChart = await processorMs(ownMs, 60, () => reader.envelope(day));
const dayWait = await bestOf(60, () => reader.envelope(day));
reader.close();
say('The server...');
const server = await serverCharts(exactMs, day.everyMs);
const serverBytes = await serverBytesPerReading();
const device = mayMount() ? deviceBytesPerReading() : undefined;

const ms = (value: number) => `${value.toFixed(1)} ms`;
console.log('| figure | measured | bar | |');
console.log('|---|---|---|---|');
row('backfill / plain bulk insert', (fillRate / plain).toFixed(2), '>= 3', fillRate / plain >= 3);
row('bytes per reading, all fields', bytes.toFixed(2), '<= 3.1', bytes <= 3.1);
row(
  'the same / server',
  `${(bytes / serverBytes).toFixed(2)} (server ${serverBytes.toFixed(2)})`,
  '<= 0.9',
  bytes <= 0.9 * serverBytes,
);
row('season chart to 1,000 buckets, warm', ms(indexChart), '<= 15 ms', indexChart <= 15);
row(
  'the same / server',
  `1/${(server.season / indexChart).toFixed(0)} (server ${ms(server.season)})`,
  '<= 1/15',
  indexChart * 15 <= server.season,
);
row(
  `season chart, exact, ${(hours * 3600) / 1e6} M readings, / server`,
  `${(exactChart / server.season).toFixed(2)} (${ms(exactChart)})`,
  '<= 1',
  exactChart <= server.season,
);
row(
  'one-day chart, exact, warm, / server, by the clock',
  `${(dayWait / server.oneDayWait).toFixed(2)} (${ms(dayWait)})`,
  '<= 0.5',
  dayWait <= 0.5 * server.oneDayWait,
);
console.log(
  `| the same by processor time | ${(dayChart / server.oneDay).toFixed(2)} (${ms(dayChart)}) | | |`,
);
if (device) {
  const { store: own, plainEveryTenSeconds, plainEverySecond } = device;
  row('device bytes written per live reading', own.toFixed(0), '<= 1,000', own <= 1000);
  row(
    'the same / plain indexed table, a commit a second',
    `1/${(plainEverySecond / own).toFixed(1)}`,
    '<= 1/6',
    own * 6 <= plainEverySecond,
  );
  console.log(
    `| the same / plain indexed table, a commit in 10 s | 1/${(plainEveryTenSeconds / own).toFixed(1)} | | |`,
  );
} else console.log('| device bytes written per live reading | needs root and a loop mount | <= 1,000 | |');
console.log(`| opening the whole season, with its check | ${ms(openMs)} | | |`);
console.log('Acknowledged readings lost: counted by npm run proof:store.');
rmSync(folder, { recursive: true });
