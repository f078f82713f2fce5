import { createServer } from 'node:net';
import { duplexPair } from 'node:stream';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { encodeFrame } from '../../../node/link/frame.js';
import { parseListenAddress } from '../../../node/link/listen-on.js';
import { closeAll, closing, dial, host, message, server, until } from './linked.js';

afterEach(closeAll);

describe('the link over TCP', () => {
  test('greets, then sends what waited while no host was connected, in order', async () => {
    const { link } = server();
    for (let i = 1; i <= 3; i++) link.publish(message(i));
    const h = await dial(await link.listen('127.0.0.1:0'));
    await until(() => h.seqs().length === 3);
    expect(h.got[0]).toMatchObject({
      type: 'greeting',
      protocol: 2,
      node: 'test-node',
      boot: 'boot-1',
      oldestSeq: 1,
      nextSeq: 4,
    });
    link.publish(message(4));
    await until(() => h.seqs().length === 4);
    expect(h.seqs()).toEqual([1, 2, 3, 4]);
  });

  test('sends again what was not stored when the host comes back, and not what was', async () => {
    const { link } = server();
    const port = await link.listen('127.0.0.1:0');
    const first = await dial(port);
    for (let i = 1; i <= 4; i++) link.publish(message(i));
    await until(() => first.seqs().length === 4);
    first.say({ type: 'stored', boot: 'boot-1', seq: 2 });
    await until(() => link.listening === 1);
    first.wire.destroy();
    const second = await dial(port);
    await until(() => second.seqs().length === 2);
    expect(second.seqs()).toEqual([3, 4]);
  });

  test('goes back on request, as far as the ring reaches', async () => {
    const { link } = server();
    const h = await dial(await link.listen('127.0.0.1:0'));
    for (let i = 1; i <= 3; i++) link.publish(message(i));
    await until(() => h.seqs().length === 3);
    h.say({ type: 'again', boot: 'boot-1', fromSeq: 2 });
    await until(() => h.seqs().length === 5);
    expect(h.seqs()).toEqual([1, 2, 3, 2, 3]);
  });

  test('answers a command by its request id', async () => {
    const { link, commands } = server();
    const h = await dial(await link.listen('127.0.0.1:0'));
    h.say({ type: 'command', requestId: 'r7', command: { do: 'silence', alertId: 'high-limit:sea' } });
    await until(() => h.got.length === 2);
    expect(h.got[1]).toEqual({ type: 'answer', requestId: 'r7', ok: true, detail: 'done' });
    expect(commands).toEqual([{ do: 'silence', alertId: 'high-limit:sea' }]);
  });

  test('passes on a test of the sound, and its answer', async () => {
    const { link } = server();
    const h = await dial(await link.listen('127.0.0.1:0'));
    h.say({ type: 'test-sound', requestId: 't1', forS: 3 });
    h.say({ type: 'test-sound', requestId: 't2', forS: 6 });
    await until(() => h.got.length === 3);
    expect(h.got.slice(1)).toEqual([
      { type: 'answer', requestId: 't1', ok: true, detail: '3 s' },
      { type: 'answer', requestId: 't2', ok: false, detail: '6 s' },
    ]);
  });

  test('counts a corrupt frame and a foreign one, and lives on', async () => {
    const { link } = server();
    const h = await dial(await link.listen('127.0.0.1:0'));
    await until(() => h.got.length === 1);
    h.wire.write('GET / HTTP/1.1\r\n');
    h.wire.write(encodeFrame({ type: 'reboot' }));
    await until(() => link.damaged === 2);
    link.publish(message(1));
    await until(() => h.seqs().length === 1);
  });

  test('an overflow while no host is connected is counted, and shows in the greeting', async () => {
    const { link } = server(500);
    for (let i = 1; i <= 50; i++) link.publish(message(i));
    const h = await dial(await link.listen('127.0.0.1:0'));
    await until(() => h.got.length > 1);
    const greeting = h.got[0];
    expect(greeting?.type === 'greeting' && greeting.oldestSeq - 1).toBe(link.framesLost);
    expect(link.framesLost).toBeGreaterThan(40);
    expect(h.seqs()[0]).toBe(link.framesLost + 1);
  });

  test('a port in use is an error that names the port and the remedy', async () => {
    const other = createServer();
    await new Promise<void>((done) => other.listen(0, '127.0.0.1', () => done()));
    closing.push(() => other.close());
    const taken = (other.address() as { port: number }).port;
    const { link } = server();
    await expect(link.listen(`127.0.0.1:${taken}`)).rejects.toMatchObject({
      code: 'link-port-in-use',
      message: expect.stringMatching(new RegExp(`port ${taken}.*--link 127.0.0.1:PORT`)),
    });
  });
});

describe('the link over a wire that does not say who is there', () => {
  test('greets every two seconds and holds its frames until somebody answers', async () => {
    vi.useFakeTimers();
    const { link } = server();
    const [nodeEnd, hostEnd] = duplexPair();
    const h = host(hostEnd);
    link.publish(message(1));
    link.serveWire(nodeEnd);
    await vi.advanceTimersByTimeAsync(4_100);
    expect(h.got.map((m) => m.type)).toEqual(['greeting', 'greeting', 'greeting']);
    h.arrive();
    await vi.advanceTimersByTimeAsync(10);
    expect(h.seqs()).toEqual([1]);
  });

  test('takes a host that says nothing for 16 s as gone, and sends again what it did not store', async () => {
    vi.useFakeTimers();
    const { link } = server();
    const [nodeEnd, hostEnd] = duplexPair();
    const h = host(hostEnd);
    link.serveWire(nodeEnd);
    h.arrive();
    await vi.advanceTimersByTimeAsync(10);
    link.publish(message(1));
    link.publish(message(2));
    await vi.advanceTimersByTimeAsync(10);
    h.say({ type: 'stored', boot: 'boot-1', seq: 1 });
    await vi.advanceTimersByTimeAsync(20_000);
    expect(link.listening).toBe(0);
    link.publish(message(3));
    await vi.advanceTimersByTimeAsync(10);
    expect(h.seqs()).toEqual([1, 2]);
    h.arrive();
    await vi.advanceTimersByTimeAsync(10);
    expect(h.seqs()).toEqual([1, 2, 2, 3]);
  });
});

test.each(['8472', 'localhost', '127.0.0.1:', '127.0.0.1:99999', 'a b:1', ''])(
  'the address "%s" is refused with an example',
  (address) => {
    expect(() => parseListenAddress(address)).toThrow(/for example 127.0.0.1:8472/);
  },
);

test.each([
  ['127.0.0.1:8472', { host: '127.0.0.1', port: 8472 }],
  ['[::1]:8472', { host: '::1', port: 8472 }],
  ['engine-room.local:0', { host: 'engine-room.local', port: 0 }],
])('the address %s is understood', (address, parts) => {
  expect(parseListenAddress(address)).toEqual(parts);
});
