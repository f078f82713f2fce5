import { mkdtempSync } from 'node:fs';
import { connect, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, vi } from 'vitest';
import { Live, startLink } from '../../../host/link/index.js';
import { openStore } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import { LinkServer } from '../../../node/link/link-server.js';
import { newSecret } from '../../../node/link/seal.js';
import { systemClock } from '../../../node/time/clock.js';
import { card, reading, startAt } from '../store/made-readings.js';

export const secret = newSecret();
export const closers: (() => unknown)[] = [];
/** Stops what the tests of the calling file have started. */
export const closeAfterEach = (): void => {
  afterEach(async () => {
    for (const close of closers.splice(0).reverse()) await close();
  });
};

export const startNode = async (
  { node = 'engine-room', boot = 'boot-1', ringBytes = 8_000_000, port = 0, engines = firstEngineCards } = {},
  onCommand = async () => ({ ok: true, detail: 'done' }),
) => {
  const server = new LinkServer({
    node,
    boot,
    ringBytes,
    secret: () => secret,
    onCommand,
    onTestSound: () => ({ ok: false, detail: '' }),
    onListener: () => {},
  });
  const taken = await server.listen(`127.0.0.1:${port}`);
  closers.push(() => server.close());
  const publishSecond = (i: number) =>
    server.publish({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', startAt + i * 1000)] });
  server.publish({
    kind: 'hello',
    boat: 'Invented',
    invented: true,
    engines,
    probes: [card('port-elbow')],
  });
  return { server, port: taken, publishSecond };
};

export const startHost = (
  addresses: readonly string[],
  dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-link-')),
  has = secret,
) => {
  const store = openStore(dataDir, systemClock);
  const live = new Live(systemClock);
  live.recall(store);
  const link = startLink({ addresses, store, live, clock: systemClock, secret: () => has });
  const commit = setInterval(() => store.intake.commit(), 50);
  let open = true;
  const close = async () => {
    if (!open) return;
    open = false;
    clearInterval(commit);
    await link.close();
    store.close();
  };
  closers.push(close);
  return { store, live, link, dataDir, close };
};

export const all = { probe: 'port-elbow', from: 0, to: startAt * 2 };
export const until = (check: () => void) => vi.waitFor(check, { timeout: 90_000, interval: 20 });

/** A wire between host and node that may change what passes towards the host. */
export const startWire = async (port: number, change: (bytes: Buffer) => Buffer) => {
  const pairs = new Set<Socket>();
  const server = createServer((host) => {
    const node = connect(port, '127.0.0.1');
    for (const socket of [host, node]) {
      pairs.add(socket);
      socket.on('error', () => {});
      socket.on('close', () => {
        host.destroy();
        node.destroy();
      });
    }
    node.on('data', (bytes: Buffer) => host.write(change(bytes)));
    host.pipe(node);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const cut = () => {
    for (const socket of pairs) socket.destroy();
    pairs.clear();
  };
  closers.push(() => {
    cut();
    server.close();
  });
  return { port: (server.address() as { port: number }).port, cut };
};
