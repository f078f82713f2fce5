import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { accessPath, addToken, setPassPhrase } from '../../../host/serve/access/access-file.js';
import { accessNow } from '../../../host/serve/access/access-now.js';
import { gate } from '../../../host/serve/access/gate.js';
import { Events } from '../../../host/serve/events.js';
import { isLoopbackName, systemClock } from '../../../node/index.js';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'elbowroom-access-'));
});
afterEach(() => rmSync(dir, { recursive: true }));

describe('the gate', () => {
  const open = async (loopback = true) => {
    const app = Fastify();
    const mayHear = gate(app, {
      access: accessNow(dir),
      loopback,
      secure: false,
      bench: false,
      clock: systemClock,
    });
    app.get('/api/now', (request) => ({ mayHear: mayHear(request) }));
    await app.ready();
    const signIn = (passPhrase: string) =>
      app.inject({ method: 'POST', url: '/api/sign-in', payload: { passPhrase } });
    const now = (cookie = '') => app.inject({ url: '/api/now', headers: { cookie } });
    return { app, signIn, now };
  };
  const cookieOf = (answer: { cookies: readonly { name: string; value: string }[] }) =>
    answer.cookies.map(({ name, value }) => `${name}=${value}`).join();

  it('of a hundred guesses at once, the right one last, five are listened to', async () => {
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    const { signIn } = await open();
    const guesses = [
      ...Array.from({ length: 99 }, (_, i) => `a guess, number ${i}`),
      'kittiwake over the bar',
    ];
    const codes = (await Promise.all(guesses.map(signIn))).map(({ statusCode }) => statusCode);
    expect(codes.filter((code) => code === 401)).toHaveLength(5);
    expect(codes.filter((code) => code === 429)).toHaveLength(95);
  });

  it('guesses from the network do not wait in front of a sign-in on this computer', async () => {
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    const { app } = await open();
    let answered = 0;
    const guess = async (_: unknown, i: number) => {
      const payload = { passPhrase: `a guess, number ${i}` };
      await app.inject({
        ...{ method: 'POST', url: '/api/sign-in', payload, remoteAddress: `10.0.0.${i}` },
      });
      answered++;
    };
    const guesses = Array.from({ length: 8 }, guess);
    const helm = await app.inject({
      method: 'POST',
      url: '/api/sign-in',
      payload: { passPhrase: 'kittiwake over the bar' },
    });
    expect(helm.statusCode).toBe(200);
    expect(answered).toBeLessThan(4);
    await Promise.all(guesses);
  });

  it('a program with a revoked token is slowed, and keeps no person on its computer from signing in', async () => {
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    const { app, signIn } = await open();
    const codes = [];
    for (let i = 0; i < 7; i++) {
      const headers = { authorization: 'Bearer revoked' };
      codes.push((await app.inject({ url: '/api/now', headers })).statusCode);
    }
    expect(codes).toEqual([401, 401, 401, 401, 401, 429, 429]);
    expect((await signIn('kittiwake over the bar')).statusCode).toBe(200);
  });

  it('serves every file of the page itself before anyone signs in, and nothing beside', async () => {
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    const { app } = await open();
    const codeOf = async (path: string) => (await app.inject({ url: path })).statusCode;
    const pageFiles = readdirSync(new URL('../../../host/page/public', import.meta.url));
    expect(pageFiles).toContain('first-paint.js');
    // There are no files in this test: 404 is past the gate, 401 is not.
    for (const name of ['', ...pageFiles]) expect([name, await codeOf(`/${name}`)]).toEqual([name, 404]);
    expect(await codeOf('/manifest.webmanifest?v=2')).toBe(404);
    for (const path of ['metrics', 'report.pdf', 'sw.json', 'first-paint.js/x', 'icons/x.png', 'api/now'])
      expect([path, await codeOf(`/${path}`)]).toEqual([path, 401]);
  });

  it('a pass-phrase that is set, changed or removed holds from the next request on', async () => {
    const { signIn, now, app } = await open();
    expect((await now()).statusCode).toBe(200);
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    expect((await now()).statusCode).toBe(401);
    const cookie = cookieOf(await signIn('kittiwake over the bar'));
    expect((await now(cookie)).json()).toEqual({ mayHear: true });
    await setPassPhrase(dir, 'watch', 'only looking, thank you');
    expect((await now(cookie)).statusCode).toBe(200);
    await setPassPhrase(dir, 'act', 'another one altogether');
    expect((await now(cookie)).statusCode).toBe(401);
    const token = addToken(dir, 'plotter', 'watch');
    const withToken = () => app.inject({ url: '/api/now', headers: { authorization: `Bearer ${token}` } });
    expect((await withToken()).statusCode).toBe(200);
    addToken(dir, 'plotter', 'watch');
    expect((await withToken()).statusCode).toBe(401);
    rmSync(accessPath(dir));
    expect((await now()).statusCode).toBe(200);
  });

  it.each([true, false])(
    'a file that is damaged later admits no one, but for the boat’s computer, which sees all and acts on nothing (loopback: %s)',
    async (loopback) => {
      await setPassPhrase(dir, 'act', 'kittiwake over the bar');
      const token = addToken(dir, 'helm', 'act');
      const { app, signIn } = await open(loopback);
      const cookie = cookieOf(await signIn('kittiwake over the bar'));
      const from = async (remoteAddress: string, more: object = {}) => {
        const headers = { cookie, authorization: `Bearer ${token}`, host: 'localhost:8470', ...more };
        const { statusCode } = await app.inject({ url: '/api/now', remoteAddress, headers });
        const acts = await app.inject({ method: 'POST', url: '/api/now', remoteAddress, headers });
        return [statusCode, acts.statusCode];
      };
      // No such route to act upon: 404 is past the gate.
      expect(await from('10.0.0.9')).toEqual([200, 404]);
      writeFileSync(accessPath(dir), '{"passPhrases":');
      expect(await from('10.0.0.9')).toEqual([401, 401]);
      expect(await from('::1')).toEqual([200, 403]);
      const anotherName = await from('127.0.0.1', { host: 'weather.example' });
      expect(anotherName).toEqual(loopback ? [421, 421] : [401, 401]);
      const refused = await signIn('kittiwake over the bar');
      expect([refused.statusCode, refused.json().message]).toEqual([
        503,
        expect.stringContaining('elbowroom access --role act'),
      ]);
    },
  );

  it('a file removed behind a wide page admits no one, and this computer only looks', async () => {
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    const { app, signIn } = await open(false);
    const cookie = cookieOf(await signIn('kittiwake over the bar'));
    rmSync(accessPath(dir));
    const from = async (remoteAddress: string, method: 'GET' | 'POST' = 'GET') =>
      (await app.inject({ method, url: '/api/now', remoteAddress, headers: { cookie } })).statusCode;
    expect(await from('10.0.0.9')).toBe(401);
    expect([await from('127.0.0.1'), await from('127.0.0.1', 'POST')]).toEqual([200, 403]);
  });

  it('says that no one may act while there is a pass-phrase to watch and none to act', async () => {
    const { app } = await open();
    const session = async () => (await app.inject({ url: '/api/session' })).json().noOneMayAct;
    expect(await session()).toBe(false);
    await setPassPhrase(dir, 'watch', 'only looking, thank you');
    expect(await session()).toBe(true);
    addToken(dir, 'helm', 'act');
    expect(await session()).toBe(false);
  });

  it('an event stream ends when its session does, before it is reported anything more', async () => {
    const events = new Events();
    const app = Fastify();
    let inside = true;
    app.get('/events', (request, reply) => {
      events.send(
        'first',
        1,
        events.join(request, reply, () => inside),
      );
    });
    const url = await app.listen({ port: 0, host: '127.0.0.1' });
    const stream = await fetch(`${url}/events`);
    expect(events.count).toBe(1);
    inside = false;
    events.send('second', 2);
    expect(await stream.text()).toBe('retry: 1000\n\nevent: first\ndata: 1\n\n');
    expect(events.count).toBe(0);
    await app.close();
  });
});

it.each([
  ['localhost:8470', true],
  ['127.0.0.1', true],
  ['127.9.9.9:1', true],
  ['[::1]:8470', true],
  ['weather.example', false],
  ['localhost.weather.example', false],
  ['127.0.0.1.nip.example:8470', false],
  [undefined, false],
] as const)('the name %s is loopback: %s', (name, is) => {
  expect(isLoopbackName(name)).toBe(is);
});
