import { connect, createServer, type Socket } from 'node:net';
import { type Duplex, duplexPair } from 'node:stream';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { encodeFrame } from '../../../node/link/frame.js';
import { HostProtocol } from '../../../node/link/host-protocol.js';
import { LinkServer, parseListenAddress } from '../../../node/link/link-server.js';
import type { FromNode, Inner, NodeMessage } from '../../../node/link/messages.js';
import { parseFromNode } from '../../../node/link/messages.js';
import { receiveFrames } from '../../../node/link/receive-frames.js';
import { newSecret } from '../../../node/link/seal.js';

const message = (at: number): NodeMessage => ({ kind: 'alerts', at, alerts: [] });
const secret = newSecret();
const closing: (() => unknown)[] = [];
afterEach(async () => {
  vi.useRealTimers();
  for (const close of closing.splice(0).reverse()) await close();
});

const server = (ringBytes = 100_000) => {
  const commands: unknown[] = [];
  const link = new LinkServer({
    node: 'test-node',
    boot: 'boot-1',
    ringBytes,
    secret: () => secret,
    onCommand: async (command) => {
      commands.push(command);
      return { ok: true, detail: 'done' };
    },
    onTestSound: (forS) => ({ ok: forS < 5, detail: `${forS} s` }),
    onListener: () => {},
  });
  closing.push(() => link.close());
  return { link, commands };
};

/** A host with the secret, unless it has another or none. */
const host = (wire: Duplex, has: string | undefined = secret) => {
  const protocol = new HostProtocol(() => has);
  const got: FromNode[] = [];
  receiveFrames(wire, {
    onFrame: (value) => {
      const parsed = parseFromNode(value);
      if (!parsed) throw new Error(`the node said something that does not parse: ${JSON.stringify(value)}`);
      if (parsed.type === 'greeting') protocol.onGreeting(parsed);
      got.push(parsed);
    },
    onDamaged: (why) => {
      throw new Error(why);
    },
  });
  const seqs = () => got.flatMap((m) => (m.type === 'message' ? [m.seq] : []));
  const say = (m: Inner) => wire.write(protocol.frame(m));
  const arrive = () => wire.write(protocol.arrival());
  return { got, seqs, say, arrive, wire };
};

const until = (what: () => unknown) => vi.waitFor(() => expect(what()).toBeTruthy(), { timeout: 30_000 });

/** A connection that has said nothing yet. */
const knock = (port: number): Promise<Socket> =>
  new Promise((resolve) => {
    const socket: Socket = connect(port, '127.0.0.1', () => resolve(socket));
    socket.on('error', () => {});
    closing.push(() => socket.destroy());
  });

const dial = async (port: number, has?: string): Promise<ReturnType<typeof host>> => {
  const dialled = host(await knock(port), has);
  dialled.arrive();
  await until(() => dialled.got.length > 0);
  return dialled;
};

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

  test('a port in use is an error that names the port and the way out', async () => {
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

describe('who is obeyed', () => {
  const acknowledge = {
    type: 'command',
    requestId: 'r',
    command: { do: 'acknowledge', alertId: 'a:b' },
  } as const;
  const answerOf = (h: ReturnType<typeof host>) => h.got.find((m) => m.type === 'answer');

  test('a form on a foreign web page that sends valid frames ends its own connection and is not obeyed', async () => {
    const { link, commands } = server();
    const port = await link.listen('127.0.0.1:0');
    const frames = new HostProtocol(() => secret).arrival() + encodeFrame(acknowledge);
    const response = fetch(`http://127.0.0.1:${port}/`, {
      method: 'POST',
      headers: { 'content-type': 'text/plain' },
      body: `\n${frames}${frames}`,
    });
    await expect(response).rejects.toThrow();
    expect(link.damaged).toBe(1);
    expect(link.listening).toBe(0);
    expect(commands).toEqual([]);
  });

  test('nothing is said to a connection before it has introduced itself', async () => {
    const { link } = server();
    link.publish(message(1));
    const h = host(await knock(await link.listen('127.0.0.1:0')));
    h.say(acknowledge);
    await until(() => h.wire.destroyed);
    expect(h.got).toEqual([]);
  });

  test.each([
    ['without the secret', undefined],
    ['with another secret', newSecret()],
  ])('a host %s may look and is not obeyed', async (_, other) => {
    const { link, commands } = server();
    link.publish(message(1));
    const h = host(await knock(await link.listen('127.0.0.1:0')), other ?? '');
    h.arrive();
    await until(() => h.seqs().length === 1);
    h.say(acknowledge);
    await until(() => answerOf(h));
    expect(answerOf(h)).toMatchObject({ ok: false, detail: expect.stringContaining('link secret') });
    expect(commands).toEqual([]);
    // Nor does the node forget what such a host says it has stored.
    h.say({ type: 'stored', boot: 'boot-1', seq: 1 });
    h.say({ ...acknowledge, requestId: 'after' });
    await until(() => h.got.some((m) => m.type === 'answer' && m.requestId === 'after'));
    expect((await dial(await link.listen('127.0.0.1:0'))) && link.damaged).toBe(0);
    const second = await dial(await link.listen('127.0.0.1:0'));
    await until(() => second.seqs().length === 1);
  });

  test('what was recorded of an obeyed command is not obeyed when it is said again, here or on another connection', async () => {
    const { link, commands } = server();
    const port = await link.listen('127.0.0.1:0');
    const h = await dial(port);
    await until(() => h.got.length === 1);
    const recorded: string[] = [];
    const { write } = h.wire;
    h.wire.write = ((bytes: string) => {
      recorded.push(bytes);
      return true;
    }) as typeof write;
    h.say(acknowledge);
    h.wire.write = write;
    h.wire.write(recorded[0]);
    await until(() => commands.length === 1);
    h.wire.write(recorded[0]);
    const other = await dial(port);
    await until(() => other.got.length === 1);
    other.wire.write(recorded[0]);
    const refusals = (of: typeof h) => of.got.filter((m) => m.type === 'answer' && !m.ok).length;
    await until(() => refusals(h) === 1 && refusals(other) === 1);
    expect(commands).toHaveLength(1);
  });

  test('the greeting proves to the host that the node has the secret, and a node without it cannot', async () => {
    const { link } = server();
    const heard = async (has: string) => {
      const protocol = new HostProtocol(() => has);
      const socket = await knock(await link.listen('127.0.0.1:0'));
      const greeting = new Promise<ReturnType<HostProtocol['onGreeting']>>((done) => {
        receiveFrames(socket, {
          onFrame: (value) => {
            const frame = parseFromNode(value);
            if (frame?.type === 'greeting') done(protocol.onGreeting(frame));
          },
          onDamaged: () => {},
        });
      });
      socket.write(protocol.arrival());
      return greeting;
    };
    expect(await heard(secret)).toEqual({ kind: 'for-us', proven: true });
    expect(await heard(newSecret())).toEqual({ kind: 'for-us', proven: false });
  });
});

describe('floods and idle connections', () => {
  test('forty idle connections do not keep a host out, and are closed within seconds', async () => {
    const { link } = server();
    const port = await link.listen('127.0.0.1:0');
    const idle = await Promise.all(Array.from({ length: 40 }, () => knock(port)));
    const h = await dial(port);
    await until(() => h.got.length === 1);
    await vi.waitFor(() => expect(idle.every((socket) => socket.closed || socket.destroyed)).toBe(true), {
      timeout: 30_000,
    });
    expect(h.wire.destroyed).toBe(false);
  });

  test('twelve hosts without the secret do not keep out one that has it', async () => {
    const { link, commands } = server();
    const port = await link.listen('127.0.0.1:0');
    for (let i = 0; i < 12; i++) await dial(port, newSecret());
    const h = await dial(port);
    h.wire.on('close', () => {});
    await until(() => h.got.length === 1);
    h.say({ type: 'command', requestId: 'r', command: { do: 'acknowledge', alertId: 'a:b' } });
    await until(() => commands.length === 1);
    expect(link.listening).toBeLessThanOrEqual(8);
  });

  test('a host that gives orders without end and never reads is let go, and the rest is served', async () => {
    const { link } = server();
    const port = await link.listen('127.0.0.1:0');
    const flood = await knock(port);
    const protocol = new HostProtocol(() => secret);
    flood.pause();
    flood.write(protocol.arrival());
    await until(() => link.listening === 1);
    let sent = 0;
    const pour = () => {
      while (!flood.destroyed && flood.writableLength < 1_000_000) {
        sent++;
        flood.write(
          encodeFrame({
            type: 'command',
            requestId: `r${sent}`,
            command: { do: 'acknowledge', alertId: 'a:b' },
          }),
        );
      }
    };
    const pouring = setInterval(pour, 5);
    const before = process.memoryUsage().rss;
    await vi.waitFor(() => expect(flood.destroyed || flood.closed || link.listening === 0).toBe(true), {
      timeout: 90_000,
    });
    clearInterval(pouring);
    const grewMB = (process.memoryUsage().rss - before) / 1e6;
    console.log(
      `a flood of ${sent} orders that were not read: the connection is let go, memory grew ${grewMB.toFixed(0)} MB`,
    );
    expect(grewMB).toBeLessThan(80);
    const h = await dial(port);
    await until(() => h.got.length === 1);
  });

  test('of forty orders before the next pass sixteen wait for it and the others are refused at once', async () => {
    const waiting: (() => void)[] = [];
    const link = new LinkServer({
      node: 'test-node',
      boot: 'boot-1',
      secret: () => secret,
      onCommand: () => new Promise((done) => waiting.push(() => done({ ok: true, detail: 'done' }))),
      onTestSound: () => ({ ok: true, detail: '' }),
      onListener: () => {},
    });
    closing.push(() => link.close());
    const h = await dial(await link.listen('127.0.0.1:0'));
    await until(() => h.got.length === 1);
    const order = (i: number) =>
      h.say({ type: 'command', requestId: `r${i}`, command: { do: 'acknowledge', alertId: 'a:b' } });
    for (let i = 0; i < 40; i++) order(i);
    const answers = () => h.got.filter((m) => m.type === 'answer');
    await until(() => answers().length === 24);
    expect(answers().every((m) => m.type === 'answer' && !m.ok)).toBe(true);
    expect(waiting).toHaveLength(16);
    for (const answer of waiting) answer();
    await until(() => answers().length === 40);
    order(40);
    await until(() => waiting.length === 17);
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
