import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Duplex } from 'node:stream';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { Live, startLink } from '../../host/link/index.js';
import { openStore } from '../../host/store/index.js';
import { openSerialStream } from '../../node/board/serial-port.js';
import {
  type FromNode,
  HostProtocol,
  openLinkStream,
  parseFromNode,
  receiveFrames,
  systemClock,
} from '../../node/index.js';
import { LinkServer } from '../../node/link/link-server.js';
import { newSecret } from '../../node/link/seal.js';
import { until } from './house/running-command.js';

/** Node and host on the two ends of a serial wire: two pseudo-terminals, the real serial binding on both. */
const folder = mkdtempSync(join(tmpdir(), 'elbowroom-wire-'));
const [nodeEnd, hostEnd] = [join(folder, 'node'), join(folder, 'host')];
let wire: ChildProcess;
const secret = newSecret();
const link = new LinkServer({
  node: 'engine-room',
  boot: 'boot-1',
  secret: () => secret,
  onCommand: async () => ({ ok: true, detail: 'done' }),
  onTestSound: () => ({ ok: true, detail: '' }),
  onListener: () => {},
});
const publish = (from: number, to: number) => {
  for (let at = from; at <= to; at++) link.publish({ kind: 'alerts', at, alerts: [] });
};

beforeAll(async () => {
  wire = spawn('socat', [`PTY,link=${nodeEnd},rawer`, `PTY,link=${hostEnd},rawer`]);
  await until('the terminals', () => existsSync(nodeEnd) && existsSync(hostEnd));
  const stream = await openSerialStream(nodeEnd, 57_600);
  // The node's own repeated greetings are left out, so that every greeting here was asked for.
  vi.useFakeTimers({ toFake: ['setInterval'] });
  link.serveWire(stream);
  vi.useRealTimers();
});
afterAll(async () => {
  await link.close();
  wire.kill();
  rmSync(folder, { recursive: true, force: true });
});

/** Attaches as a host does, having stored everything up to `stored`. */
const attach = async (stored: number) => {
  const stream: Duplex = await openLinkStream(hostEnd, 57_600);
  const protocol = new HostProtocol(() => secret);
  const got: FromNode[] = [];
  let damaged = 0;
  receiveFrames(stream, {
    onFrame: (value) => {
      const frame = parseFromNode(value);
      if (!frame) throw new Error('the node said something that does not parse');
      got.push(frame);
      if (frame.type === 'greeting' && protocol.onGreeting(frame).kind === 'for-us')
        stream.write(protocol.frame({ type: 'stored', boot: frame.boot, seq: stored }));
    },
    onDamaged: () => {
      damaged++;
    },
  });
  stream.write(protocol.arrival());
  return {
    seqs: () => got.flatMap((frame) => (frame.type === 'message' ? [frame.seq] : [])),
    greeted: () => got.some(({ type }) => type === 'greeting'),
    damaged: () => damaged,
    store: (seq: number) => stream.write(protocol.frame({ type: 'stored', boot: 'boot-1', seq })),
    detach: () => new Promise((done) => stream.once('close', done).destroy()),
  };
};

test('what was said while no host was on the wire arrives when one comes, in order and whole', async () => {
  publish(1, 20);
  const host = await attach(0);
  await until('twenty messages', () => host.seqs().length >= 20);
  expect(host.seqs()).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
  expect(host.damaged()).toBe(0);
  host.store(20);
  publish(21, 25);
  await until('five more', () => host.seqs().length >= 25);
  await host.detach();
});

test('a host that comes back gets what it has not stored', async () => {
  const host = await attach(22);
  await until('a greeting', () => host.greeted());
  publish(26, 26);
  await until('the newest', () => host.seqs().includes(26));
  // Sent before the node knew how far this host has read, frames may come twice; none may be missing.
  expect([...new Set(host.seqs())].filter((seq) => seq > 22).sort((a, b) => a - b)).toEqual([23, 24, 25, 26]);
  await host.detach();
});

test('the host itself asks for the greeting when it arrives, and again when it comes back', async () => {
  const store = openStore(join(folder, 'data'), systemClock);
  for (const [from, to] of [
    [27, 30],
    [31, 33],
  ] as const) {
    const live = new Live(systemClock);
    const host = startLink({
      addresses: [`serial://${hostEnd}`],
      store,
      live,
      clock: systemClock,
      secret: () => secret,
    });
    await until('the node to be known', () => live.nodes().some(({ connected }) => connected));
    publish(from, to);
    await until('what was said to be stored', () => {
      store.intake.commit();
      return store.intake.storedSeq('engine-room', 'boot-1') >= to;
    });
    await host.close();
  }
  store.close();
});
