import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { type AddressInfo, connect, createServer } from 'node:net';
import fc from 'fast-check';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { NodeNow } from '../../../host/live/live-source.js';
import { alertSentences } from '../../../host/outputs/nmea/alert-text.js';
import { sendOverUdp } from '../../../host/outputs/nmea/send-udp.js';
import { serveOverTcp } from '../../../host/outputs/nmea/serve-tcp.js';
import { startNmea } from '../../../host/outputs/nmea/start-nmea.js';
import { temperaturesToSend } from '../../../host/outputs/nmea/temperatures.js';
import { type AlertRow, firstEngineCards } from '../../../node/index.js';
import { decodeXdr, unframeSentence } from './decode-xdr.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

const nowMs = 1_700_000_000_000;
const probe = (id: string): NodeNow['probes'][number] => ({
  id,
  name: id,
  engine: 'port',
  place: 'wet-elbow',
  mounting: 'strap-on',
  limits: {},
});
const node = (over: Partial<NodeNow> = {}): NodeNow => ({
  node: 'engine-room',
  connected: true,
  invented: true,
  engines: firstEngineCards,
  probes: [probe('port-elbow'), probe('sea')],
  latest: [
    { probe: 'port-elbow', at: nowMs, temperatureC: 48.24, quality: 'good' },
    { probe: 'sea', at: nowMs, temperatureC: -0.04, quality: 'good' },
  ],
  ageMs: { 'port-elbow': 0, sea: 0 },
  alerts: [],
  sequenceGaps: 0,
  ...over,
});

describe('temperatures for the instruments aboard', () => {
  it('go out in tenths of a degree, without a minus zero', () => {
    expect(temperaturesToSend([node()], {})).toEqual([
      { type: 'C', units: 'C', id: 'port-elbow', value: 48.2 },
      { type: 'C', units: 'C', id: 'sea', value: 0 },
    ]);
  });

  it('are those of thermometers: a pressure is no temperature without a value', () => {
    const pump = { ...probe('port-pump'), quantity: 'pressure' as const };
    const sent = temperaturesToSend([node({ probes: [pump, probe('sea')] })], {});
    expect(sent.map((m) => m.id)).toEqual(['sea']);
  });

  it('bear the name the owner chose', () => {
    expect(temperaturesToSend([node()], { 'port-elbow': 'Elbow P' })[0]?.id).toBe('Elbow P');
  });

  it.each([
    ['older than 5 s', node({ ageMs: { 'port-elbow': 5_001 } })],
    ['from before the host listened', node({ ageMs: {} })],
    ['of a node that is not connected', node({ connected: false })],
    ['that the node never sent', node({ latest: [] })],
    [
      'that is open',
      node({ latest: [{ probe: 'port-elbow', at: nowMs, temperatureC: 48, quality: 'open' }] }),
    ],
  ])('have no value when the reading is one %s', (_what, from) => {
    expect(temperaturesToSend([from], {})[0]).toEqual({ type: 'C', units: 'C', id: 'port-elbow' });
  });

  it('are distinguished by node where two nodes name a probe alike', () => {
    const both = temperaturesToSend([node(), node({ node: 'lazarette' })], {});
    expect(both.map((m) => m.id)).toEqual([
      'engine-room.port-elbow',
      'engine-room.sea',
      'lazarette.port-elbow',
      'lazarette.sea',
    ]);
  });
});

describe('alerts as text for the instruments aboard', () => {
  const alert = (over: Partial<AlertRow>): AlertRow => ({
    id: 'cooling:port',
    rule: 'high-limit',
    priority: 'alarm',
    state: 'unacknowledged',
    engine: 'port',
    probe: 'port-elbow',
    since: nowMs,
    message: 'Port wet elbow is at 101.2 C.',
    instruction: 'Idle, then stop',
    evidence: { values: {}, thresholds: {} },
    actions: [],
    ...over,
  });
  const hot = [{ probe: 'port-elbow', at: nowMs, temperatureC: 101.2, quality: 'good' as const }];

  it('say engine, verb and temperature, the worst first, each with a checksum and within 82 characters', () => {
    const sentences = alertSentences('II', [
      node({
        latest: hot,
        alerts: [
          alert({
            id: 'load:starboard',
            priority: 'warning',
            engine: 'starboard',
            probe: 'sea',
            instruction: 'Ease back',
          }),
          alert({}),
        ],
      }),
    ]);
    expect(sentences.map((sentence) => unframeSentence(sentence))).toEqual([
      ['IITXT', '02', '01', '01', 'ALARM PORT: IDLE THEN STOP 101 C'],
      ['IITXT', '02', '02', '02', 'WARNING STARBOARD: EASE BACK'],
    ]);
  });

  it('name no temperature that is not known, and nothing that has ended or is a caution', () => {
    const alerts = [
      alert({}),
      alert({ id: 'a', state: 'rectified' }),
      alert({ id: 'b', priority: 'caution' }),
    ];
    const [only, ...others] = alertSentences('II', [node({ connected: false, latest: hot, alerts })]);
    expect(unframeSentence(only ?? '').at(-1)).toBe('ALARM PORT: IDLE THEN STOP');
    expect(others).toEqual([]);
  });

  it.each([
    [
      'a long name gives way to the short one before the order is cut',
      'Auxiliary generator of the forward hold',
      'Forward',
      'ALARM FORWARD: UNLOAD THEN STOP 101 C',
    ],
    [
      'a name without a Latin letter gives way to the id',
      'Κύρια',
      'Κύρια',
      'ALARM PORT: UNLOAD THEN STOP 101 C',
    ],
    [
      'a name that fits is whole',
      'Hotel generator',
      'Hotel',
      'ALARM HOTEL GENERATOR: UNLOAD THEN STOP 101 C',
    ],
  ])('%s', (_, name, shortName, said) => {
    const engines = [{ ...firstEngineCards[0], id: 'port', name, shortName }] as NodeNow['engines'];
    const [sentence = ''] = alertSentences('II', [
      node({ engines, latest: hot, alerts: [alert({ instruction: 'Unload, then stop' })] }),
    ]);
    expect(sentence.length).toBeLessThanOrEqual(82);
    expect(unframeSentence(sentence).at(-1)).toBe(said);
  });

  it('of any message and engine name make a sentence that decodes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), fc.boolean(), (words, instructed) => {
        const { instruction, ...rest } = alert({ engine: words, message: words });
        const [sentence = ''] = alertSentences('II', [
          node({ engines: [], alerts: [instructed ? { ...rest, instruction: words } : rest] }),
        ]);
        expect(sentence.length).toBeLessThanOrEqual(82);
        expect(unframeSentence(sentence)[0]).toBe('IITXT');
      }),
    );
  });
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
