import { createSocket, type Socket } from 'node:dgram';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Webhook } from 'standardwebhooks';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStore } from '../../host/store/index.js';
import { systemClock } from '../../node/index.js';
import { decodeXdr } from '../host/outputs/decode-xdr.js';
import { BenchHouse } from './house/bench-boat.js';
import { startCommand, until } from './house/running-command.js';

const secret = 'a secret of the invented owner';

describe('a boat on the bench with no one aboard', () => {
  let house: BenchHouse;
  let display: Socket;
  let ashore: Server;
  const sentences: string[] = [];
  const letters: {
    subject: string;
    kind: string;
    changes: { alert?: { engine?: string; priority: string } }[];
  }[] = [];

  beforeAll(async () => {
    display = createSocket('udp4');
    await new Promise<void>((done) => display.bind(0, '127.0.0.1', done));
    display.on('message', (bytes) => sentences.push(bytes.toString('ascii')));
    ashore = createServer((request, response) => {
      let body = '';
      request.on('data', (chunk) => {
        body += chunk;
      });
      request.on('end', () => {
        // Throws, and so answers nothing good, when the signature is not the owner's.
        new Webhook(secret, { format: 'raw' }).verify(body, request.headers as Record<string, string>);
        letters.push(JSON.parse(body));
        response.writeHead(204).end();
      });
    });
    await new Promise<void>((done) => ashore.listen(0, '127.0.0.1', done));
    house = await BenchHouse.open();
    await house.kill('host');
    const folder = join(house.dataDir, 'host');
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'hook.secret'), secret, { mode: 0o600 });
    writeFileSync(
      join(folder, 'host.yaml'),
      `settings: 1
nmea: { everyS: 1, names: { port-elbow: Elbow P }, udp: [{ to: "127.0.0.1:${display.address().port}" }] }
messages:
  gatherS: 1
  webhooks: [{ url: "http://127.0.0.1:${(ashore.address() as AddressInfo).port}/boat", secretFile: hook.secret }]
`,
    );
    house.startHost();
    await house.untilLive().catch((error) => {
      throw new Error(`${error.message}\n${house.said()}`);
    });
  });
  afterAll(async () => {
    await house?.close();
    display?.close();
    ashore?.close();
  });

  it('every probe’s temperature reaches a display aboard, as the page shows it', async () => {
    const shown = await until('an XDR value of every probe', async () => {
      const now = await house.untilLive();
      const latest = new Map<string, number | undefined>();
      // What is active is sent beside them as text, on a busy machine perhaps that the board was lost for a moment.
      for (const sentence of sentences.filter((one) => one.includes('XDR,')))
        for (const { id, value } of decodeXdr(sentence).measurements) latest.set(id ?? '', value);
      const all = now.probes.every(
        ({ id }) => latest.get(id === 'port-elbow' ? 'Elbow P' : id) !== undefined,
      );
      return all && { now, latest };
    });
    const sea = shown.now.probes.find((p) => p.id === 'sea-water');
    // The sea does not change on the bench; a second lies between the two looks.
    expect(Math.abs((shown.latest.get('sea-water') ?? 0) - (sea?.temperatureC ?? 99))).toBeLessThan(1.5);
  });

  it('a sign of life goes ashore, then the alarm of the bagged engine, signed', async () => {
    await until('the sign of life', () => letters.some((l) => l.kind === 'sign-of-life'));
    await house.act({ action: 'bag-intake', engine: 'starboard' });
    const alarm = await until('the alarm ashore', () =>
      letters.find((l) => l.changes.some((c) => c.alert?.priority === 'alarm')),
    );
    expect(alarm.subject).toMatch(/^Marsh Harrier \(invented\): ALARM(, worse)?: /);
    expect(alarm.changes.some((c) => c.alert?.engine === 'starboard')).toBe(true);
  });
});

describe('a report', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-report-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('is written while nothing runs, and printed to PDF by a real Chromium', async () => {
    const dataDir = join(folder, 'data');
    openStore(dataDir, systemClock).close();
    const logged = startCommand('log', 'impeller changed', '--engine', 'port', '--data-dir', dataDir);
    expect(await logged.ended, logged.said()).toBe(0);
    const [html, pdf] = [join(folder, 'r.html'), join(folder, 'r.pdf')];
    const span = ['--from', '2026-05-01', '--to', '2026-05-02'];
    const made = startCommand('report', ...span, '--out', html, '--pdf', pdf, '--data-dir', dataDir);
    expect(await made.ended, made.said()).toBe(0);
    expect(readFileSync(html, 'utf8')).toContain('impeller changed');
    expect(existsSync(pdf)).toBe(true);
    const bytes = readFileSync(pdf);
    expect(bytes.subarray(0, 5).toString()).toBe('%PDF-');
    expect(bytes.length).toBeGreaterThan(5_000);
  });
});
