import { connect } from 'node:net';
import Fastify from 'fastify';
import { afterEach, describe, expect, it } from 'vitest';
import { Live } from '../../../host/link/index.js';
import { securityHeaders } from '../../../host/serve/security-headers.js';
import { servePage } from '../../../host/serve/serve-page.js';
import { systemClock } from '../../../node/index.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

describe('a request that never ends', () => {
  it('is ended after 10 s, and fifty of them keep no one out', async () => {
    const page = await servePage({ live: new Live(systemClock), clock: systemClock, port: 0 });
    closing.push(() => page.close());
    const head =
      'POST /api/kit HTTP/1.1\r\nhost: localhost\r\ncontent-type: application/json\r\ncontent-length: 5000\r\n\r\n';
    const begunAtMs = performance.now();
    const ends = Array.from({ length: 50 }, () => {
      const socket = connect(page.port, '127.0.0.1', () => socket.write(head));
      const drip = setInterval(() => socket.write(' '), 200);
      socket.on('error', () => {}).resume();
      return new Promise<number>((done) => {
        socket.on('close', () => {
          clearInterval(drip);
          done(performance.now() - begunAtMs);
        });
      });
    });
    expect((await fetch(`${page.url}api/now`)).ok).toBe(true);
    const slowest = Math.max(...(await Promise.all(ends)));
    // A busy machine adds to the 10 s and the next look; without our limit Node would wait 300 s.
    expect(slowest).toBeLessThan(60_000);
    expect((await fetch(`${page.url}api/now`)).ok).toBe(true);
  });
});

describe('the headers of every answer', () => {
  const headers = async (tls: boolean) => {
    const app = Fastify();
    await securityHeaders(app, tls);
    app.get('/', () => 'x');
    return (await app.inject({ url: '/' })).headers;
  };

  it('allow nothing inline, nothing from elsewhere and no frame (Content Security Policy Level 3)', async () => {
    const policy = String((await headers(false))['content-security-policy']).split(';');
    expect(policy).toEqual(
      expect.arrayContaining(["default-src 'none'", "script-src 'self'", "frame-ancestors 'none'"]),
    );
    expect(policy.join()).not.toMatch(/unsafe|https?:|\*/);
  });

  it('ask for TLS from then on, under TLS and only there (RFC 6797)', async () => {
    expect((await headers(true))['strict-transport-security']).toBe('max-age=15552000');
    expect((await headers(false))['strict-transport-security']).toBeUndefined();
  });
});
