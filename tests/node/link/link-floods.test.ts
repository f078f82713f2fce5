import { afterEach, describe, expect, test, vi } from 'vitest';
import { encodeFrame } from '../../../node/link/frame.js';
import { HostProtocol } from '../../../node/link/host-protocol.js';
import { LinkServer } from '../../../node/link/link-server.js';
import { newSecret } from '../../../node/link/seal.js';
import { closeAll, closing, dial, knock, secret, server, until } from './linked.js';

afterEach(closeAll);

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
