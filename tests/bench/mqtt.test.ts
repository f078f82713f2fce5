import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createConnection } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import type { RunningOutput } from '../../host/outputs/index.js';
import { startMqtt } from '../../host/outputs/mqtt/start-mqtt.js';
import { freePort } from '../../host/supervise/free-port.js';
import { startCommand, until } from './house/running-command.js';
import { anAlarm, ScriptedLive } from './house/scripted-live.js';

/** Debian's mosquitto as the broker and its own mosquitto_sub as the reader: neither shares code with the publisher. */
const folder = mkdtempSync(join(tmpdir(), 'elbowroom-mqtt-'));
let port = 0;
let broker: ChildProcess | undefined;
let output: RunningOutput | undefined;

const startBroker = async (): Promise<void> => {
  broker = spawn('mosquitto', ['-c', join(folder, 'broker.conf')], { stdio: 'ignore' });
  await until('the broker to listen', () => isOpen());
};
const stopBroker = async (): Promise<void> => {
  const ended = new Promise((done) => broker?.once('exit', done));
  broker?.kill('SIGKILL');
  await ended;
};
const isOpen = () =>
  new Promise<boolean>((done) => {
    const socket = createConnection(port, '127.0.0.1', () => {
      socket.destroy();
      done(true);
    });
    socket.on('error', () => done(false));
  });

/** Every retained message below `boat/`, as another program sees it just now. */
const retained = async (): Promise<Record<string, string>> => {
  const { stdout } = await promisify(execFile)('mosquitto_sub', [
    ...['-h', '127.0.0.1', '-p', `${port}`, '-t', 'boat/#', '-v', '--retained-only', '-W', '1'],
  ]).catch((error: { stdout?: string }) => ({ stdout: error.stdout ?? '' }));
  return Object.fromEntries(
    stdout
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => [line.slice(0, line.indexOf(' ')), line.slice(line.indexOf(' ') + 1)]),
  );
};

beforeAll(async () => {
  port = await freePort();
  writeFileSync(
    join(folder, 'broker.conf'),
    `listener ${port} 127.0.0.1\nallow_anonymous true\npersistence false\n`,
  );
  await startBroker();
});
afterEach(async () => {
  await output?.stop();
  output = undefined;
});
afterAll(async () => {
  await stopBroker();
  rmSync(folder, { recursive: true, force: true });
});

const options = (version: '3.1.1' | '5') =>
  ({ url: `mqtt://127.0.0.1:${port}`, version, topic: 'boat', everyS: 1 }) as const;

it.each(['3.1.1', '5'] as const)(
  'MQTT %s: the whole present is retained, and a probe without a reading has no value',
  async (version) => {
    output = startMqtt(options(version), new ScriptedLive(1_000));
    const seen = await until('every topic', async () => {
      const all = await retained();
      return Object.keys(all).length >= 5 && all['boat/available'] === 'online' && all;
    });
    expect(seen['boat/engine-room/available']).toBe('online');
    expect(JSON.parse(seen['boat/engine-room/reading/port-elbow'] ?? '')).toEqual({
      at: 1_000,
      quality: 'good',
      temperatureC: 41.25,
      uncertaintyC: 0.2,
    });
    expect(JSON.parse(seen['boat/engine-room/reading/sea-water'] ?? '')).toEqual({
      at: 1_000,
      quality: 'open',
    });
    expect(JSON.parse(seen['boat/engine-room/alerts'] ?? '')).toEqual([]);
  },
);

it('after the broker was unreachable, what ended meanwhile is not shown, and what began is', async () => {
  const live = new ScriptedLive(1_000);
  output = startMqtt(options('5'), live);
  live.become({ alerts: [anAlarm(5)] });
  await until('the alarm', async () =>
    (await retained())['boat/engine-room/alerts']?.includes('cooling:port'),
  );
  await stopBroker();
  live.become({ alerts: [] });
  live.become({
    latest: [{ probe: 'port-elbow', at: 9_000, temperatureC: 55, uncertaintyC: 0.2, quality: 'good' }],
  });
  await startBroker();
  const seen = await until('the present again', async () => {
    const all = await retained();
    return all['boat/engine-room/reading/port-elbow']?.includes('9000') && all;
  });
  expect(seen['boat/engine-room/alerts']).toBe('[]');
  expect(seen['boat/available']).toBe('online');
});

it('a node that is not connected has stale readings without a value', async () => {
  const live = new ScriptedLive(1_000);
  output = startMqtt(options('5'), live);
  live.become({ connected: false });
  const seen = await until('the node to be offline', async () => {
    const all = await retained();
    return (
      all['boat/engine-room/available'] === 'offline' &&
      all['boat/engine-room/reading/port-elbow']?.includes('stale') &&
      all
    );
  });
  expect(JSON.parse(seen['boat/engine-room/reading/port-elbow'] ?? '')).toEqual({
    at: 1_000,
    quality: 'stale',
  });
});

it('a host that is killed outright is offline by the broker’s last will', async () => {
  const dataDir = mkdtempSync(join(folder, 'host-'));
  writeFileSync(
    join(dataDir, 'host.yaml'),
    `settings: 1\nmqtt: { url: "mqtt://127.0.0.1:${port}", topic: boat }\n`,
  );
  const host = startCommand(
    'host',
    '--data-dir',
    dataDir,
    '--node',
    `127.0.0.1:${await freePort()}`,
    '--page-port',
    '0',
  );
  await until('the host to be online', async () => (await retained())['boat/available'] === 'online');
  await host.kill('SIGKILL');
  await until('the last will', async () => (await retained())['boat/available'] === 'offline');
});
