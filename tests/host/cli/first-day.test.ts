import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import { calibrateCommand } from '../../../host/cli/calibrate-command.js';
import { commissionCommand } from '../../../host/cli/commission-command.js';
import { forwardCommand } from '../../../host/cli/forward-command.js';
import { settledLook } from '../../../host/cli/settled-look.js';
import { hostFolderOf } from '../../../host/cli/store-option.js';
import { watchCommand } from '../../../host/cli/watch-command.js';
import { wiringCommand } from '../../../host/cli/wiring-command.js';
import { reachableAt } from '../../../host/serve/reachable-at.js';
import { openStore } from '../../../host/store/index.js';
import { freePort } from '../../../host/supervise/free-port.js';
import { benchBoats } from '../../../node/bench/index.js';
import { systemClock, type WiringLook } from '../../../node/index.js';
import type { MonotonicMs } from '../../../node/time/clock.js';
import { runCommandHere } from './run-command-here.js';

let folder: string;
let kit: string;
let port: number;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-first-day-'));
  kit = join(folder, 'kit.yaml');
  port = await freePort();
  const link = { over: 'tcp', listen: `127.0.0.1:${port}` };
  writeFileSync(kit, stringify({ ...parse(benchBoats.twin), link }));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it('calibrate without a watch says what to start', async () => {
  const asked = ['calibrate', '--kit', kit, '--pressure-hpa', '1009'];
  const { exitCode, stderr } = await runCommandHere(calibrateCommand, ...asked);
  expect(exitCode).toBe(3);
  expect(stderr).toMatch(/No node answers at 127\.0\.0\.1:\d+\. Start it in another window.*elbowroom watch/);
});

it('wiring beside a running watch says who holds the board and how to stop it, and mentions no cable', async () => {
  const node: Server = createServer((socket) => socket.on('error', () => undefined));
  await new Promise<void>((done) => node.listen(port, '127.0.0.1', () => done()));
  try {
    const { exitCode, stderr } = await runCommandHere(wiringCommand, 'wiring', '--kit', kit, '--once');
    expect(exitCode).toBe(3);
    expect(stderr).toMatch(/watch is running.*holds the board.*Ctrl-C.*systemctl stop elbowroom/s);
    expect(stderr).not.toMatch(/cable|flash/);
  } finally {
    node.close();
  }
});

it.each([
  [
    'no pass-phrase is set',
    ['--page-listen', '0.0.0.0'],
    /without a pass-phrase.*elbowroom access --role act/,
  ],
  ['the certificate is missing', ['--tls-cert', 'boat.pem', '--tls-key', 'boat-key.pem'], /Cannot read the/],
])('watch typed by a person is refused at once where %s, and starts nothing', async (_name, wrong, words) => {
  const dataDir = join(folder, 'elbowroom-data');
  const isTTY = Object.getOwnPropertyDescriptor(process.stdin, 'isTTY');
  Object.defineProperty(process.stdin, 'isTTY', { value: true, configurable: true });
  try {
    const { exitCode, stderr } = await runCommandHere(
      watchCommand,
      ...['watch', '--kit', kit, '--data-dir', dataDir, '--link', `127.0.0.1:${port}`, ...wrong],
    );
    expect(stderr).toMatch(words);
    expect(stderr).not.toMatch(/starting it again/);
    expect(exitCode).toBe(2);
    expect(existsSync(join(dataDir, 'host'))).toBe(false);
  } finally {
    if (isTTY) Object.defineProperty(process.stdin, 'isTTY', isTTY);
    else Reflect.deleteProperty(process.stdin, 'isTTY');
  }
});

it('wiring --once says each new state of the board as it comes, and ends four seconds after it is there', async () => {
  let nowMs = 0;
  const said: [number, string][] = [];
  const look = (): WiringLook => ({
    board:
      nowMs < 3_000
        ? { state: 'connecting', detail: 'Opening /dev/ttyACM0.' }
        : { state: 'connected', detail: 'StandardFirmata.ino 2.5.' },
    engines: [],
    running: {},
    referencePin: 'none',
    probes: [],
    faults: [],
  });
  await settledLook(
    look,
    (words) => said.push([nowMs, words]),
    { monotonicMs: () => nowMs as MonotonicMs },
    async (ms) => {
      nowMs += ms;
    },
  );
  expect(said).toEqual([
    [0, 'The board: Opening /dev/ttyACM0.'],
    [3_000, 'The board: StandardFirmata.ino 2.5.'],
  ]);
  // Four seconds of readings after the board came, looked at five times a second.
  expect(nowMs).toBeLessThanOrEqual(7_400);
});

it('commission says that it reads before it has read', async () => {
  const { stderr, exitCode } = await runCommandHere(
    commissionCommand,
    ...['commission', '--kit', kit, '--data-dir', join(folder, 'none')],
  );
  expect(stderr).toMatch(/^Reading what was recorded\.\n.*no store/);
  expect(exitCode).toBeGreaterThan(0);
});

it('watch with a kit that is not there leaves no folder behind', async () => {
  const dataDir = join(folder, 'elbowroom-data');
  const { exitCode } = await runCommandHere(
    watchCommand,
    ...['watch', '--kit', join(folder, 'missing.yaml'), '--data-dir', dataDir],
  );
  expect(exitCode).toBe(2);
  expect(existsSync(dataDir)).toBe(false);
});

describe('forward', () => {
  const dataDir = () => join(folder, 'data/host');
  beforeEach(() => openStore(dataDir(), systemClock).close());
  const forward = (...args: string[]) =>
    runCommandHere(forwardCommand, 'forward', ...args, '--data-dir', join(folder, 'data'));

  it('suggests the scheme where it is left out', async () => {
    expect(await forward('--to', '192.168.1.20:8428')).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/http:\/\/192\.168\.1\.20:8428/),
    });
  });

  it.each([
    ['is missing', undefined, /Cannot read the token file/],
    ['is empty', '\n', /is empty/],
  ])('refuses a token file that %s at once, and writes nothing', async (_name, content, words) => {
    const tokenFile = join(folder, 'token.txt');
    if (content !== undefined) writeFileSync(tokenFile, content);
    const { exitCode, stderr } = await forward('--to', 'http://127.0.0.1:1', '--token-file', tokenFile);
    expect(exitCode).toBeGreaterThan(0);
    expect(stderr).toMatch(words);
    expect(existsSync(join(dataDir(), 'forward.json'))).toBe(false);
  });

  it('--once to a server that is down says so from the first try', async () => {
    await forward('--to', `http://127.0.0.1:${port}`, '--boat', 'Trial');
    const store = openStore(dataDir(), systemClock);
    store.bulk.rows([
      {
        name: 'sea',
        node: 'engine-room',
        rate: 'second',
        rows: [{ probe: 'sea', at: 1_770_000_000_000, quality: 'good', temperatureC: 18, uncertaintyC: 0.2 }],
      },
    ]);
    store.close();
    const { exitCode, stderr } = await forward('--once');
    expect(exitCode).toBe(3);
    expect(stderr).toMatch(/Sending to http.*\nNot taken \(1 of 5 attempts\)/);
  });
});

describe('--data-dir', () => {
  it('is the folder that watch is given, with the store in host/ there', () => {
    expect(hostFolderOf('elbowroom-data')).toBe(join('elbowroom-data', 'host'));
  });

  it('that is itself a store is taken as it is', () => {
    const apart = join(folder, 'old-season');
    mkdirSync(apart);
    writeFileSync(join(apart, 'elbowroom.sqlite'), '');
    expect(hostFolderOf(apart)).toBe(apart);
    expect(hostFolderOf('/var/lib/elbowroom/host')).toBe('/var/lib/elbowroom/host');
  });
});

it('a page that listens everywhere is named by addresses that a tablet can open', () => {
  const address = (of: string, internal: boolean) =>
    ({ address: of, internal, family: 'IPv4', netmask: '', mac: '', cidr: null }) as const;
  const interfaces = { lo: [address('127.0.0.1', true)], wlan0: [address('192.168.4.7', false)] };
  expect(reachableAt('https://0.0.0.0:8470/', interfaces)).toEqual([
    'https://192.168.4.7:8470/',
    'https://127.0.0.1:8470/',
  ]);
  expect(reachableAt('http://127.0.0.1:8470/', interfaces)).toEqual(['http://127.0.0.1:8470/']);
});
