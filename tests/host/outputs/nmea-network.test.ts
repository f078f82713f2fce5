import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { type AddressInfo, connect, createServer } from 'node:net';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { sendOverUdp } from '../../../host/outputs/nmea/send-udp.js';
import { serveOverTcp } from '../../../host/outputs/nmea/serve-tcp.js';
import { startNmea } from '../../../host/outputs/nmea/start-nmea.js';
import { decodeXdr } from './decode-xdr.js';
import { node } from './made-node.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

describe('over UDP', () => {
  it('each sentence arrives as one datagram that decodes', async () => {
    const display = createSocket('udp4');
    await new Promise<void>((resolve) => display.bind(0, '127.0.0.1', resolve));
    const received: string[] = [];
    display.on('message', (bytes) => received.push(bytes.toString('ascii')));
    const output = startNmea(
      {
        talker: 'II',
        everyS: 0.02,
        names: {},
        udp: [{ to: `127.0.0.1:${display.address().port}`, broadcast: false }],
      },
      { live: { nodes: () => [node()] } },
    );
    closing.push(
      () => output.stop(),
      async () => display.close(),
    );
    await vi.waitFor(() => expect(received.length).toBeGreaterThan(2), { timeout: 20_000 });
    for (const sentence of received)
      expect(decodeXdr(sentence)).toMatchObject({
        talker: 'II',
        measurements: [{ value: 48.2 }, { value: 0 }],
      });
    await vi.waitFor(() => expect(output.status()[0]?.sent).toBeGreaterThan(2), { timeout: 20_000 });
  });

  it('one bad name keeps only its own probe back: the others are sent, and the trouble is counted and named', async () => {
    const display = createSocket('udp4');
    await new Promise<void>((resolve) => display.bind(0, '127.0.0.1', resolve));
    const received: string[] = [];
    display.on('message', (bytes) => received.push(bytes.toString('ascii')));
    const bad = node();
    const first = bad.probes[0];
    if (!first) throw new Error('no probe');
    const output = startNmea(
      {
        talker: 'II',
        everyS: 0.02,
        names: { [first.id]: 'a,b*c' },
        udp: [{ to: `127.0.0.1:${display.address().port}`, broadcast: false }],
      },
      { live: { nodes: () => [bad] } },
    );
    closing.push(
      () => output.stop(),
      async () => display.close(),
    );
    await vi.waitFor(() => expect(received.length).toBeGreaterThan(2), { timeout: 20_000 });
    expect(decodeXdr(received[0] ?? '').measurements).toHaveLength(bad.probes.length - 1);
    expect(output.status()[0]?.failed).toBeGreaterThan(0);
    expect(output.status()[0]?.lastError).toContain('a,b*c');
  });

  it('what cannot even be asked for its nodes is counted, and ends nothing', async () => {
    const output = startNmea(
      { talker: 'II', everyS: 0.02, names: {}, udp: [{ to: '127.0.0.1:9', broadcast: false }] },
      {
        live: {
          nodes: () => {
            throw new Error('no nodes today');
          },
        },
      },
    );
    closing.push(() => output.stop());
    await vi.waitFor(() => expect(output.status()[0]?.failed).toBeGreaterThan(2), { timeout: 20_000 });
    expect(output.status()[0]?.lastError).toBe('no nodes today');
  });

  it('an address that cannot be reached is counted and named, and nothing stops', async () => {
    const output = sendOverUdp({ host: '255.255.255.255', port: 10110, broadcast: false });
    closing.push(() => output.close());
    output.send(['$YXXDR*51\r\n']);
    await vi.waitFor(() => expect(output.status()).toMatchObject({ sent: 0, failed: 1, waiting: 0 }), {
      timeout: 20_000,
    });
    expect(output.status().lastError).toMatch(/EACCES|ENETUNREACH|EPERM/);
  });
});

describe('over TCP', () => {
  const serve = async () => {
    const output = serveOverTcp({ host: '127.0.0.1', port: 0 });
    closing.push(() => output.close());
    await output.ready;
    return { output, port: output.port() ?? 0 };
  };
  const listen = async (port: number) => {
    const socket = connect(port, '127.0.0.1');
    closing.push(async () => socket.destroy());
    await once(socket, 'connect');
    return socket;
  };

  it('two displays receive the same sentences, and one that disconnects is dropped', async () => {
    const { output, port } = await serve();
    const [first, second] = [await listen(port), await listen(port)];
    await vi.waitFor(() => expect(output.status().listeners).toBe(2), { timeout: 20_000 });
    const received = ['', ''];
    first.on('data', (bytes) => (received[0] += bytes.toString()));
    second.on('data', (bytes) => (received[1] += bytes.toString()));
    output.send(['a\r\n', 'b\r\n']);
    await vi.waitFor(() => expect(received).toEqual(['a\r\nb\r\n', 'a\r\nb\r\n']), { timeout: 20_000 });
    first.destroy();
    await vi.waitFor(() => expect(output.status()).toMatchObject({ listeners: 1, sent: 4 }), {
      timeout: 20_000,
    });
  });

  it('a display that takes nothing misses sentences, counted, while another keeps receiving', async () => {
    const { output, port } = await serve();
    const stalled = await listen(port);
    stalled.pause();
    const hearing = await listen(port);
    await vi.waitFor(() => expect(output.status().listeners).toBe(2), { timeout: 20_000 });
    let heardBytes = 0;
    hearing.on('data', (bytes) => (heardBytes += bytes.length));
    const sentence = `${'x'.repeat(80)}\r\n`;
    const batch = Array.from({ length: 2_000 }, () => sentence);
    let rounds = 0;
    while (output.status().dropped === 0 && rounds < 500) {
      output.send(batch);
      rounds++;
      await vi.waitFor(() => expect(heardBytes).toBe(rounds * batch.length * sentence.length), {
        timeout: 30_000,
      });
    }
    expect(output.status()).toMatchObject({ dropped: batch.length });
    expect(output.status().lastError).toMatch(/does not keep up/);
  });

  it('what a display sends is read and discarded', async () => {
    const { output, port } = await serve();
    const display = await listen(port);
    display.write('$IIXDR,C,99.9,C,FALSE*00\r\n');
    await vi.waitFor(() => expect(output.status().listeners).toBe(1), { timeout: 20_000 });
    const received = once(display, 'data');
    output.send(['a\r\n']);
    expect((await received)[0].toString()).toBe('a\r\n');
  });

  it('a port in use is named and the host continues', async () => {
    const other = createServer();
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
    closing.push(async () => other.close());
    const output = serveOverTcp({ host: '127.0.0.1', port: (other.address() as AddressInfo).port });
    closing.push(() => output.close());
    await vi.waitFor(() => expect(output.status().lastError).toMatch(/EADDRINUSE/), { timeout: 20_000 });
    output.send(['a\r\n']);
  });
});
