import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Webhook } from 'standardwebhooks';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { LiveSource, NodeNow } from '../../../host/live/live-source.js';
import { startMessages } from '../../../host/outputs/messages/start-messages.js';
import { webhookDestination } from '../../../host/outputs/messages/webhook.js';
import { hostSettingsSchema } from '../../../host/settings/schema.js';
import type { AlertRow } from '../../../node/index.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { message } from './made-message.js';
import { clock, secret, webhookServer } from './webhook-server.js';

const cleaning: (() => unknown)[] = [];
afterEach(async () => {
  for (const clean of cleaning.splice(0).reverse()) await clean();
});
const folder = () => {
  const path = mkdtempSync(join(tmpdir(), 'elbowroom-messages-'));
  cleaning.push(() => rmSync(path, { recursive: true, force: true }));
  return path;
};

const server = async (answers: Parameters<typeof webhookServer>[0]) => {
  const { close, ...running } = await webhookServer(answers);
  cleaning.push(close);
  return running;
};

describe('a webhook', () => {
  it('carries a signature that an independent verifier accepts, and that fails for one changed byte', async () => {
    const { url, received } = await server([{ status: 204 }]);
    const sent = message();
    await webhookDestination({ url, secret, timeoutS: 5 }, clock).deliver(sent);
    const { headers, body } = received[0] ?? { headers: {}, body: '' };
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
    const { url, received } = await server([{ status: 200 }]);
    await webhookDestination({ url, secret: 'correct horse battery staple', timeoutS: 5 }, clock).deliver(
      message(),
    );
    const { headers, body } = received[0] ?? { headers: {}, body: '' };
    const verifier = new Webhook('correct horse battery staple', { format: 'raw' });
    expect(() => verifier.verify(body, headers as Record<string, string>)).not.toThrow();
  });

  it.each([
    [500, /answered 500: no such place/],
    [302, /answered 302/],
    [410, /answered 410/],
  ])('is not taken by an answer of %d', async (status, words) => {
    const { url, received } = await server([{ status, headers: { location: '/elsewhere' } }]);
    const sending = webhookDestination({ url, secret, timeoutS: 5 }, clock).deliver(message());
    await expect(sending).rejects.toThrow(words);
    expect(received.length).toBe(1);
  });

  it('shows neither the path nor the secret in its name', () => {
    const { name } = webhookDestination(
      { url: 'https://example.org/hook/very-secret', secret, timeoutS: 5 },
      clock,
    );
    expect(name).toBe('webhook to example.org');
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
      engines: [],
      probes: [{ id: 'sea', name: 'Sea', engine: 'both', place: 'sea-water', mounting: 'well', limits: {} }],
      latest: [{ probe: 'sea', at: time.now, temperatureC: 18, quality: 'good' }],
      ageMs: { sea: 500 },
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
    const report = (alerts: AlertRow[]) => {
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
    return { running, report, pass };
  };
  const subjects = (received: { body: string }[]) =>
    received.map(({ body }) => JSON.parse(body).subject as string);

  it('reports life, the alarm, its end; and nothing twice over a restart of the host', async () => {
    const { url, received } = await server([{ status: 204 }]);
    const dataDir = folder();
    const first = start(url, dataDir);
    await first.pass(1);
    first.report([alarm]);
    await first.pass(6);
    await first.running.stop();
    const second = start(url, dataDir);
    second.report([alarm]);
    await second.pass(60);
    second.report([]);
    await second.pass(60);
    await second.pass(6);
    await vi.waitFor(() => expect(received.length).toBe(3), { timeout: 20_000 });
    expect(subjects(received)).toEqual([
      'Marsh Harrier (invented): all quiet',
      'Marsh Harrier (invented): ALARM: Starboard wet elbow above 75 C',
      'Marsh Harrier (invented): ended: Starboard wet elbow above 75 C',
    ]);
  });

  it('keeps an alarm while the server is unreachable and delivers it afterwards, with the time it happened', async () => {
    const { url, received } = await server([
      { status: 204 },
      { status: 503 },
      { status: 503 },
      { status: 204 },
    ]);
    const boat = start(url, folder());
    await boat.pass(1);
    boat.report([alarm]);
    await boat.pass(6);
    expect(boat.running.status()[0]).toMatchObject({ waiting: 1, failed: 1 });
    await boat.pass(11);
    await boat.pass(21);
    expect(boat.running.status()[0]).toMatchObject({ waiting: 0, sent: 2, failed: 2 });
    const bodies = received.slice(1).map(({ body }) => body);
    expect(new Set(bodies).size).toBe(1);
    expect(JSON.parse(bodies[0] ?? '{}').changes[0].at).toBe(Date.parse('2026-07-01T12:00:01Z'));
  });
});
