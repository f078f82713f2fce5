import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import { get as getSecurely } from 'node:https';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { AccessError, addToken, setPassPhrase } from '../../host/serve/access/access-file.js';
import { expectAccessible, PageHouse, patient, shoot } from './page/page-house.js';

const alarm = { id: 'cooling:starboard', priority: 'alarm' } as const;
const acknowledge = 'api/alerts/cooling%3Astarboard/acknowledge';
const stateOf = async (house: PageHouse) =>
  ((await (await fetch(`${house.url}api/now`)).json()) as { alerts: { state: string }[] }).alerts[0]?.state;

describe('a page from another origin', () => {
  let house: PageHouse;
  let hostile: Server;

  beforeAll(async () => {
    house = await PageHouse.open();
    hostile = createServer((_, answer) => {
      answer.setHeader('content-type', 'text/html');
      answer.end(
        `<!doctype html><title>Free weather</title><form method="post" action="${house.url}${acknowledge}"></form>`,
      );
    }).listen(0, '127.0.0.1');
  });
  afterAll(async () => {
    hostile?.close();
    await house?.close();
  });

  it('cannot acknowledge by fetch, by form or inside a frame', async () => {
    house.node?.raise(alarm);
    await expect.poll(() => stateOf(house), patient).toBe('unacknowledged');
    const page = await (await house.context()).newPage();
    const there = `http://127.0.0.1:${(hostile.address() as AddressInfo).port}/`;
    await page.goto(there);
    const target = house.url + acknowledge;
    // Whether the browser lets it out is its own affair.
    await page.evaluate(
      (url) => fetch(url, { method: 'POST', mode: 'no-cors', body: '{}' }).catch(() => undefined),
      target,
    );
    const answer = page.waitForResponse(target, patient);
    await page.evaluate(() => document.querySelector('form')?.submit());
    expect((await answer).status()).toBe(403);
    const framing = await page.context().newPage();
    await framing.goto(there);
    await framing.evaluate((url) => {
      const frame = document.createElement('iframe');
      frame.src = url;
      document.body.append(frame);
    }, house.url);
    const framed = () =>
      framing
        .frames()
        .find((frame) => frame !== framing.mainFrame())
        ?.url();
    await expect.poll(framed, patient).toBe('chrome-error://chromewebdata/');
    expect(house.node?.commands).toEqual([]);
    expect(await stateOf(house)).toBe('unacknowledged');
    await page.context().close();
  });

  it('a name pointed at this computer is refused (DNS rebinding), and curl from this computer is not', async () => {
    const { request } = await import('node:http');
    const port = new URL(house.url).port;
    const code = (host: string) =>
      new Promise<number>((done, fail) => {
        request({ host: '127.0.0.1', port, path: '/api/now', headers: { host } }, (answer) => {
          answer.resume();
          done(answer.statusCode ?? 0);
        })
          .on('error', fail)
          .end();
      });
    expect(await code('weather.example')).toBe(421);
    expect(await code(`localhost:${port}`)).toBe(200);
    const raw = await fetch(`${house.url}api/alerts/cooling:starboard/acknowledge`, { method: 'POST' });
    expect(raw.status).toBe(200);
    expect(house.node?.commands).toEqual([{ do: 'acknowledge', alertId: 'cooling:starboard' }]);
  });

  it('every answer carries the strict policy, and the page needs nothing from elsewhere', async () => {
    const page = await house.context().then((context) => context.newPage());
    const foreign: string[] = [];
    const refused: string[] = [];
    page.on('request', (request) => {
      if (!request.url().startsWith(house.url) && !request.url().startsWith('blob:'))
        foreign.push(request.url());
    });
    page.on(
      'console',
      (message) => /Content Security Policy/.test(message.text()) && refused.push(message.text()),
    );
    const answer = await page.goto(house.url);
    expect(answer?.headers()['content-security-policy']).toContain("default-src 'none';script-src 'self'");
    for (const screen of ['now', 'history', 'health', 'calibrate', 'set-up']) {
      await page.goto(`${house.url}#${screen}`);
      await page.locator('main').waitFor(patient);
    }
    expect({ foreign, refused }).toEqual({ foreign: [], refused: [] });
    await page.context().close();
  });
});

describe('with a pass-phrase', () => {
  let house: PageHouse;
  let token: string;

  beforeAll(async () => {
    house = await PageHouse.open();
    await house.stopHost();
    await setPassPhrase(house.dataDir, 'act', 'kittiwake over the bar');
    await setPassPhrase(house.dataDir, 'watch', 'only looking, thank you');
    token = addToken(house.dataDir, 'plotter', 'watch');
    await house.startHost();
    house.node?.raise(alarm);
  });
  afterAll(() => house?.close());

  it('nothing is reported without it; a wrong one is refused; the right one opens the page', async () => {
    expect((await fetch(`${house.url}api/now`)).status).toBe(401);
    expect((await fetch(house.url + acknowledge, { method: 'POST' })).status).toBe(401);
    const page = await house.visit();
    await page.getByLabel('Pass-phrase').fill('open sesame, please');
    await page.getByRole('button', { name: 'Sign in' }).click(patient);
    await page.getByText('That is not the pass-phrase.').waitFor(patient);
    await expectAccessible(page);
    await shoot(page, 'sign-in');
    await page.getByLabel('Pass-phrase').fill('kittiwake over the bar');
    await page.getByRole('button', { name: 'Sign in' }).click(patient);
    await page.getByRole('article', { name: /^alarm/ }).waitFor(patient);
    await page.getByRole('button', { name: 'Acknowledge' }).click(patient);
    await page.locator('.card.alarm.acknowledged').waitFor(patient);
    await page.context().close();
  });

  it('is asked for in the colours that this browser keeps, from the first paint, with every file of the page', async () => {
    const context = await house.context();
    await context.addInitScript(() => localStorage.setItem('elbowroom.palette', 'night'));
    const page = await context.newPage();
    const refused: string[] = [];
    page.on('response', (answer) => {
      if (answer.status() >= 400) refused.push(new URL(answer.url()).pathname);
    });
    // As it is before the program of the page has come.
    await page.route('**/assets/*.js', (route) => route.abort());
    await page.goto(house.url);
    expect(await page.evaluate(() => document.documentElement.dataset.palette)).toBe('night');
    await page.unroute('**/assets/*.js');
    await page.reload();
    await page.getByLabel('Pass-phrase').waitFor(patient);
    await shoot(page, 'sign-in-night');
    expect(refused.filter((path) => !path.startsWith('/api/'))).toEqual([]);
    expect((await fetch(`${house.url}manifest.webmanifest`)).status).toBe(200);
  });

  it('a link to History opened before coming in shows what is stored after it', async () => {
    const page = await house.visit('#history?last=600000');
    await page.getByLabel('Pass-phrase').fill('kittiwake over the bar');
    await page.getByRole('button', { name: 'Sign in' }).click(patient);
    await page.getByRole('checkbox', { name: /Port wet elbow/ }).waitFor(patient);
    await page.locator('.envelope canvas').first().waitFor(patient);
    await page.context().close();
  });

  it('who may watch sees everything and can do nothing', async () => {
    const page = await house.visit();
    await page.getByLabel('Pass-phrase').fill('only looking, thank you');
    await page.getByRole('button', { name: 'Sign in' }).click(patient);
    await page.getByRole('article', { name: /^alarm/ }).waitFor(patient);
    expect(await page.getByRole('button', { name: 'Acknowledge' }).count()).toBe(0);
    const tried = await page.evaluate(
      (path) => fetch(path, { method: 'POST' }).then((a) => a.status),
      acknowledge,
    );
    expect(tried).toBe(403);
    await page.context().close();
  });

  it('a token opens the interface to its role, a wrong one does not, and guessing is slowed', async () => {
    const ask = (given: string, method = 'GET', path = 'api/now') =>
      fetch(house.url + path, { method, headers: { authorization: `Bearer ${given}` } }).then(
        (a) => a.status,
      );
    expect(await ask(token)).toBe(200);
    expect(await ask(token, 'POST', acknowledge)).toBe(403);
    const guesses = [];
    for (let i = 0; i < 7; i++) guesses.push(await ask(`guess-${i}`));
    expect(guesses.slice(0, 2)).toEqual([401, 401]);
    expect(guesses.at(-1)).toBe(429);
    expect(await ask(token)).toBe(200);
  });

  it('with a certificate it serves https only, the cookie is Secure, and a wrong key or file is reported', async () => {
    const made = (name: string) => {
      const [certPath, keyPath] = [
        join(house.dataDir, `${name}.pem`),
        join(house.dataDir, `${name}-key.pem`),
      ];
      execFileSync(
        'openssl',
        [
          ...['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:P-256', '-nodes', '-days', '2'],
          ...['-subj', '/CN=boat', '-addext', 'subjectAltName=IP:127.0.0.1'],
          ...['-keyout', keyPath, '-out', certPath],
        ],
        { stdio: 'ignore' },
      );
      return { certPath, keyPath };
    };
    const [tls, other] = [made('boat'), made('other')];
    await house.stopHost();
    await expect(house.startHost({ tls: { ...tls, keyPath: other.keyPath } })).rejects.toThrow(
      /certificate or its key cannot be used \(.*\)\. Both must be PEM and belong together/,
    );
    const noFile = house.startHost({ tls: { ...tls, certPath: join(house.dataDir, 'gone.pem') } });
    await expect(noFile).rejects.toThrow(AccessError);
    await expect(noFile).rejects.toThrow(/Cannot read the certificate .*gone\.pem/);
    await house.startHost({ tls });
    expect(house.url).toMatch(/^https:/);
    // Believed by a client that trusts this certificate, and by no one else.
    const status = (ca?: Buffer) =>
      new Promise((done) => {
        getSecurely(`${house.url}api/session`, { ca, agent: false }, (answer) => {
          answer.resume();
          done(answer.statusCode);
        }).on('error', (error: NodeJS.ErrnoException) => done(error.code));
      });
    expect(await status(readFileSync(tls.certPath))).toBe(200);
    expect(await status(readFileSync(other.certPath))).toBe('DEPTH_ZERO_SELF_SIGNED_CERT');
    await expect(fetch(house.url.replace('https:', 'http:'))).rejects.toThrow();

    const page = await house.visit();
    await page.getByLabel('Pass-phrase').fill('kittiwake over the bar');
    await page.getByRole('button', { name: 'Sign in' }).click(patient);
    await page.getByText('Live', { exact: true }).waitFor(patient);
    expect(await page.evaluate(() => isSecureContext)).toBe(true);
    const [cookie] = await page.context().cookies();
    expect(cookie).toMatchObject({ name: 'elbowroom', secure: true, httpOnly: true, sameSite: 'Strict' });
    await page.context().close();
  });
});
