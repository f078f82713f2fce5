import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Webhook } from 'standardwebhooks';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Destination, Message } from '../../../host/outputs/messages/message.js';
import { MessageOutbox, waitMs } from '../../../host/outputs/messages/outbox.js';
import { messageId, startMessages } from '../../../host/outputs/messages/start-messages.js';
import { webhookDestination } from '../../../host/outputs/messages/webhook.js';
import type { LiveSource, NodeNow } from '../../../host/serve/live-source.js';
import { hostSettingsSchema } from '../../../host/settings/schema.js';
import { asMonotonicMs, asWallMs } from '../../../node/clock.js';
import type { AlertRow } from '../../../node/index.js';

const cleaning: (() => unknown)[] = [];
afterEach(async () => {
  for (const clean of cleaning.splice(0).reverse()) await clean();
});
const folder = () => {
  const path = mkdtempSync(join(tmpdir(), 'elbowroom-messages-'));
  cleaning.push(() => rmSync(path, { recursive: true, force: true }));
  return path;
};

const message = (over: Partial<Message> = {}): Message => ({
  id: messageId(Date.now()),
  kind: 'trial',
  at: Date.now(),
  boat: 'Marsh Harrier',
  invented: true,
  subject: 'trial',
  text: 'Elbow room: 12 °C',
  changes: [],
  standing: [],
  readings: [],
  ...over,
});

/** A real server; `answers` are status codes in order, the last one repeated. */
const server = async (answers: { status: number; headers?: Record<string, string> }[]) => {
  const heard: { headers: IncomingMessage['headers']; body: string }[] = [];
  const http = createServer((request: IncomingMessage, response: ServerResponse) => {
    let body = '';
    request.on('data', (chunk) => (body += chunk));
    request.on('end', () => {
      heard.push({ headers: request.headers, body });
      const answer = answers[Math.min(heard.length, answers.length) - 1] ?? { status: 500 };
      response.writeHead(answer.status, answer.headers).end(answer.status < 300 ? 'ok' : 'no such place');
    });
  });
  await new Promise<void>((resolve) => http.listen(0, '127.0.0.1', resolve));
  cleaning.push(
    () => new Promise((resolve) => http.close(resolve)),
    () => http.closeAllConnections(),
  );
  return { url: `http://127.0.0.1:${(http.address() as AddressInfo).port}/hook`, heard };
};

const secret = `whsec_${Buffer.from('a secret of the owner, 32 bytes!').toString('base64')}`;
const clock = { wallMs: () => asWallMs(Date.now()) };

describe('a webhook', () => {
  it('carries a signature that an independent verifier accepts, and that fails for one changed byte', async () => {
    const { url, heard } = await server([{ status: 204 }]);
    const sent = message();
    await webhookDestination({ url, secret, timeoutS: 5 }, clock).deliver(sent);
    const { headers, body } = heard[0] ?? { headers: {}, body: '' };
    const signed = {
      'webhook-id': String(headers['webhook-id']),
      'webhook-timestamp': String(headers['webhook-timestamp']),
      'webhook-signature': String(headers['webhook-signature']),
    };
    const verifier = new Webhook(secret);
    expect(verifier.verify(body, signed)).toEqual(JSON.parse(JSON.stringify(sent)));
    expect(() => verifier.verify(body.replace('12', '13'), signed)).toThrow();
    expect(() => verifier.verify(body, { ...signed, 'webhook-id': 'other' })).toThrow();
    expect(() => new Webhook(Buffer.from('another').toString('base64')).verify(body, signed)).toThrow();
  });

  it('also signs with a secret of plain words', async () => {
    const { url, heard } = await server([{ status: 200 }]);
    await webhookDestination({ url, secret: 'correct horse battery staple', timeoutS: 5 }, clock).deliver(
      message(),
    );
    const { headers, body } = heard[0] ?? { headers: {}, body: '' };
    const verifier = new Webhook('correct horse battery staple', { format: 'raw' });
    expect(() => verifier.verify(body, headers as Record<string, string>)).not.toThrow();
  });

  it.each([
    [500, /answered 500: no such place/],
    [302, /answered 302/],
    [410, /answered 410/],
  ])('is not taken by an answer of %d', async (status, words) => {
    const { url, heard } = await server([{ status, headers: { location: '/elsewhere' } }]);
    const sending = webhookDestination({ url, secret, timeoutS: 5 }, clock).deliver(message());
    await expect(sending).rejects.toThrow(words);
    expect(heard.length).toBe(1);
  });

  it('shows neither the path nor the secret in its name', () => {
    const { name } = webhookDestination(
      { url: 'https://example.org/hook/very-secret', secret, timeoutS: 5 },
      clock,
    );
    expect(name).toBe('webhook to example.org');
  });
});

describe('messages that wait', () => {
  const outbox = (destination: Destination, path = folder()) => {
    const time = { now: 1_000_000 };
    const words: string[] = [];
    const make = () =>
      new MessageOutbox({
        folder: path,
        destination,
        tryForMs: 3_600_000,
        nowMs: () => time.now,
        chance: () => 0.5,
        log: (line) => words.push(line),
      });
    return { time, words, path, make, box: make() };
  };
  const failing = (times: number) => {
    const delivered: string[] = [];
    let left = times;
    const destination: Destination = {
      name: 'test',
      deliver: async ({ id }) => {
        if (left-- > 0) throw new Error('no network');
        delivered.push(id);
      },
    };
    return { destination, delivered };
  };

  it('wait 10, 20, 40 s and so on to 15 minutes', () => {
    expect([1, 2, 3, 4].map((n) => waitMs(n, 0.5))).toEqual([10_000, 20_000, 40_000, 80_000]);
    expect(waitMs(30, 0.5)).toBe(900_000);
    expect(waitMs(1, 0)).toBe(8_000);
    expect(waitMs(1, 1)).toBeCloseTo(12_000, 6);
  });

  it('are tried again until they are taken, under the same id, and no sooner than their time', async () => {
    const { destination, delivered } = failing(2);
    const { box, time } = outbox(destination);
    box.add(message({ id: 'a' }));
    await box.turn();
    time.now += 9_999;
    await box.turn();
    expect(box.status()).toMatchObject({ failed: 1, waiting: 1, lastError: 'no network' });
    time.now += 1;
    await box.turn();
    time.now += 20_000;
    await box.turn();
    expect(delivered).toEqual(['a']);
    expect(box.status()).toMatchObject({ sent: 1, failed: 2, waiting: 0, dropped: 0 });
    expect(box.status().lastError).toBeUndefined();
  });

  it('outlive a restart, in order', async () => {
    const { destination, delivered } = failing(1);
    const { box, make, time, path } = outbox(destination);
    for (const id of ['1', '2', '3']) box.add(message({ id }));
    await box.turn();
    expect(readdirSync(path)).toEqual(['1.json', '2.json', '3.json']);
    const again = make();
    time.now += 60_000;
    for (let turn = 0; turn < 3; turn++) await again.turn();
    expect(delivered).toEqual(['1', '2', '3']);
    expect(readdirSync(path)).toEqual([]);
  });

  it('are given up after the time that was set, counted and told', async () => {
    const { destination } = failing(1e9);
    const { box, time, words } = outbox(destination);
    box.add(message({ id: 'a' }));
    for (let turn = 0; turn < 20; turn++) {
      await box.turn();
      time.now += 900_000;
    }
    expect(box.status()).toMatchObject({ waiting: 0, dropped: 1 });
    expect(words.at(-1)).toMatch(/gave up "trial" after \d attempts: no network/);
    expect([box.takeGivenUp(), box.takeGivenUp()]).toEqual([1, 0]);
  });

  it('are 500 at most; the oldest is given up and counted', () => {
    const { box } = outbox(failing(1e9).destination);
    for (let i = 0; i < 503; i++) box.add(message({ id: String(i).padStart(4, '0') }));
    expect(box.status()).toMatchObject({ waiting: 500, dropped: 3 });
  });

  it('that a power cut left half written or spoiled are counted, and the rest goes on', async () => {
    const path = folder();
    writeFileSync(join(path, 'x.json'), '{"message":');
    writeFileSync(join(path, 'y.json.part'), '{');
    const { destination, delivered } = failing(0);
    const { box, words } = outbox(destination, path);
    expect(words.join()).toMatch(/x\.json cannot be read/);
    box.add(message({ id: 'z' }));
    await box.turn();
    expect(delivered).toEqual(['z']);
    expect(box.status().dropped).toBe(1);
  });

  it('wait as long as the server asks', async () => {
    const { url } = await server([{ status: 429, headers: { 'retry-after': '120' } }, { status: 200 }]);
    const { box, time } = outbox(webhookDestination({ url, secret, timeoutS: 5 }, clock));
    box.add(message());
    await box.turn();
    time.now += 119_000;
    await box.turn();
    expect(box.status()).toMatchObject({ sent: 0, failed: 1 });
    time.now += 1_000;
    await box.turn();
    expect(box.status()).toMatchObject({ sent: 1, waiting: 0 });
  });
});

describe('the whole way, from an alert of a node to a server ashore', () => {
  const alarm: AlertRow = {
    id: 'cooling:starboard',
    rule: 'high-limit',
    priority: 'alarm',
    state: 'unacknowledged',
    since: 0,
    message: 'Starboard wet elbow above 75 C',
    evidence: { values: {}, thresholds: {} },
    actions: ['Throttle to idle.'],
  };
  const start = (url: string, dataDir: string) => {
    const time = { now: Date.parse('2026-07-01T12:00:00Z') };
    const listeners = new Set<Parameters<LiveSource['on']>[0]>();
    const node: NodeNow = {
      node: 'engine-room',
      boat: 'Marsh Harrier',
      connected: true,
      lastHeardAt: time.now,
      invented: true,
      probes: [],
      latest: [],
      ageMs: {},
      alerts: [],
      sequenceGaps: 0,
    };
    let now = node;
    const settings = hostSettingsSchema.parse({ settings: 1, messages: {} }).messages;
    if (!settings) throw new Error('no messages');
    const running = startMessages({
      settings,
      destinations: [webhookDestination({ url, secret, timeoutS: 5 }, clock)],
      dataDir,
      live: {
        nodes: () => [{ ...now, lastHeardAt: time.now }],
        on: (listener) => {
          listeners.add(listener);
          return () => listeners.delete(listener);
        },
        onChange: () => () => undefined,
      },
      clock: { monotonicMs: () => asMonotonicMs(0), wallMs: () => asWallMs(time.now) },
      log: () => undefined,
      chance: () => 0.5,
    });
    cleaning.push(() => running.stop());
    const hear = (alerts: AlertRow[]) => {
      now = { ...node, alerts };
      for (const listener of listeners)
        listener(
          'engine-room',
          { kind: 'alerts', at: time.now, alerts },
          { boot: 'one', clockSteppedMs: 0, kept: false },
        );
    };
    const pass = async (s: number) => {
      time.now += s * 1000;
      await running.turn();
      await running.turn();
    };
    return { running, hear, pass };
  };
  const subjects = (heard: { body: string }[]) => heard.map(({ body }) => JSON.parse(body).subject as string);

  it('tells life, the alarm, its end; and nothing twice over a restart of the host', async () => {
    const { url, heard } = await server([{ status: 204 }]);
    const dataDir = folder();
    const first = start(url, dataDir);
    await first.pass(1);
    first.hear([alarm]);
    await first.pass(6);
    await first.running.stop();
    const second = start(url, dataDir);
    second.hear([alarm]);
    await second.pass(60);
    second.hear([]);
    await second.pass(60);
    await second.pass(6);
    await vi.waitFor(() => expect(heard.length).toBe(3));
    expect(subjects(heard)).toEqual([
      'Marsh Harrier (invented): all quiet',
      'Marsh Harrier (invented): ALARM: Starboard wet elbow above 75 C',
      'Marsh Harrier (invented): ended: Starboard wet elbow above 75 C',
    ]);
  });

  it('keeps an alarm while the server is away and delivers it afterwards, with the time it happened', async () => {
    const { url, heard } = await server([{ status: 204 }, { status: 503 }, { status: 503 }, { status: 204 }]);
    const boat = start(url, folder());
    await boat.pass(1);
    boat.hear([alarm]);
    await boat.pass(6);
    expect(boat.running.status()[0]).toMatchObject({ waiting: 1, failed: 1 });
    await boat.pass(11);
    await boat.pass(21);
    expect(boat.running.status()[0]).toMatchObject({ waiting: 0, sent: 2, failed: 2 });
    const bodies = heard.slice(1).map(({ body }) => body);
    expect(new Set(bodies).size).toBe(1);
    expect(JSON.parse(bodies[0] ?? '{}').changes[0].at).toBe(Date.parse('2026-07-01T12:00:01Z'));
  });
});
