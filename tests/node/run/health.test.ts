import { once } from 'node:events';
import { connect, createServer, type Socket } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { type Health, serveHealth } from '../../../node/run/health.js';

const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});
const served = async (health: Health) => {
  const server = await serveHealth('127.0.0.1:0', () => health);
  closing.push(server.close);
  return async (path: string) => {
    const answer = await fetch(`http://127.0.0.1:${server.port}${path}`);
    return { status: answer.status, body: await answer.json() };
  };
};

test.each([
  [{ alive: true, ready: true }, 200, 200],
  [{ alive: true, ready: false }, 503, 200],
  [{ alive: false, ready: false }, 503, 503],
])('%j answers /health with %d and /alive with %d', async (health, ready, alive) => {
  const get = await served(health);
  expect(await get('/health')).toEqual({ status: ready, body: health });
  expect(await get('/alive')).toEqual({ status: alive, body: health });
});

test('any other path says which there are', async () => {
  const get = await served({ alive: true, ready: true });
  expect(await get('/')).toEqual({ status: 404, body: { paths: ['/health', '/alive'] } });
});

test('a port in use is an error that names the remedy', async () => {
  const other = createServer();
  await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
  closing.push(() => other.close());
  const { port } = other.address() as { port: number };
  await expect(serveHealth(`127.0.0.1:${port}`, () => ({ alive: true, ready: true }))).rejects.toMatchObject({
    code: 'health-could-not-open',
    message: expect.stringContaining('--health HOST:PORT'),
  });
});

test('forty connections that say nothing take no more than sixteen places, and none for long', async () => {
  const server = await serveHealth('127.0.0.1:0', () => ({ alive: true, ready: true }));
  closing.push(server.close);
  const idle = Array.from(
    { length: 40 },
    (): Socket => connect(server.port, '127.0.0.1').on('error', () => {}),
  );
  closing.push(() => {
    for (const socket of idle) socket.destroy();
  });
  const open = () => idle.filter(({ closed }) => !closed).length;
  await Promise.all(idle.map((socket) => once(socket.resume(), 'connect')));
  await expect.poll(open, { timeout: 20_000 }).toBeLessThanOrEqual(16);
  await expect.poll(open, { timeout: 20_000 }).toBe(0);
  expect((await fetch(`http://127.0.0.1:${server.port}/alive`)).status).toBe(200);
});
