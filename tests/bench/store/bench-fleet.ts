import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Forwarder, uploaderTo } from '../../../host/forward/index.js';
import { openStore } from '../../../host/store/index.js';
import { systemClock } from '../../../node/time/clock.js';
import { inventedHours, seasonProbes } from './invented-season.js';
import { processorSeconds } from './processor-seconds.js';
import { TimeSeriesServer } from './time-series-server.js';

/**
 * A fleet on one server: N boats with an hour of readings each, forwarded one after the other. Counts seconds of
 * processor time, not of the clock, so that what else runs here matters little. Give N, 20 by default.
 */
const boats = Number(process.argv[2] ?? 20);
const readingsPerBoat = seasonProbes.length * 3600;
const folder = mkdtempSync(join(tmpdir(), 'elbowroom-fleet-'));
const server = await TimeSeriesServer.reserve();
await server.start();

let forwarderS = 0;
const serverBefore = processorSeconds(server.pid);
for (let boat = 0; boat < boats; boat++) {
  const store = openStore(join(folder, `boat-${boat}`), systemClock);
  for (let probe = 0; probe < seasonProbes.length; probe++) store.addHistory(inventedHours(probe, boat, 1));
  const destination = { url: server.url, org: 'fleet', bucket: 'fleet', boat: `boat-${boat}` };
  const forwarder = new Forwarder(store, destination, uploaderTo(destination), systemClock);
  const before = process.cpuUsage();
  while ((await forwarder.step()).kind === 'sent');
  const { user, system } = process.cpuUsage(before);
  forwarderS += (user + system) / 1e6;
  if (forwarder.counters().sent !== readingsPerBoat) throw new Error(`${forwarder.counters().sent} sent`);
  store.close();
}
await server.flush();
const serverS = processorSeconds(server.pid) - serverBefore;
await server.stop();
rmSync(server.folder, { recursive: true });
rmSync(folder, { recursive: true });

const readings = boats * readingsPerBoat;
const forwarderRate = readings / forwarderS;
const serverRate = readings / serverS;
console.log(`${boats} boats, ${readings} readings with all fields, to one victoria-metrics on this machine`);
console.log(`forwarder: ${Math.round(forwarderRate)} readings per second of one core`);
console.log(`server:    ${Math.round(serverRate)} readings per second of one core`);
console.log(`a boat under way sends ${seasonProbes.length} readings a second:`);
console.log(
  `  ${((seasonProbes.length / forwarderRate) * 100).toFixed(3)} % of a core for its forwarder; a week offline is caught up in ${((7 * 86_400 * seasonProbes.length) / forwarderRate / 60).toFixed(1)} min of one core`,
);
for (const fleet of [1_000, 100_000]) {
  const cores = (fleet * seasonProbes.length) / serverRate;
  const advice =
    cores < 2
      ? 'one server does it'
      : 'with queries and a second copy beside it, a clustered engine takes over';
  console.log(
    `  ${fleet} boats, all under way: ${cores.toFixed(2)} cores of server for writing alone; ${advice}`,
  );
}
