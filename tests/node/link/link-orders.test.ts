import { afterEach, describe, expect, test } from 'vitest';
import { encodeFrame } from '../../../node/link/frame.js';
import { HostProtocol } from '../../../node/link/host-protocol.js';
import { parseFromNode } from '../../../node/link/messages.js';
import { receiveFrames } from '../../../node/link/receive-frames.js';
import { newSecret } from '../../../node/link/seal.js';
import { closeAll, dial, host, knock, message, secret, server, until } from './linked.js';

afterEach(closeAll);

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
