import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CalibrationDue } from '../../host/engine-health/calibration-due.js';
import { freePort } from '../../host/supervise/free-port.js';
import { thermistorCertificate } from '../calibration/made-points.js';
import { chooseOption, expectAccessible, PageHouse, patient, shoot } from './page/page-house.js';

const assets = fileURLToPath(new URL('../../dist/page/assets/', import.meta.url));

describe('the page as it travels', () => {
  it('JavaScript and CSS together are at most 60 kB with gzip', () => {
    const names = readdirSync(assets);
    const packed = names.filter((name) => /\.(js|css)\.gz$/.test(name));
    expect(packed).toEqual(names.filter((name) => /\.(js|css)$/.test(name)).map((name) => `${name}.gz`));
    expect(packed.reduce((sum, name) => sum + statSync(join(assets, name)).size, 0)).toBeLessThan(60_000);
  });
});

describe('a host whose owner reads Fahrenheit and sends to instruments', () => {
  let house: PageHouse;
  let page: Page;
  let nmeaPort: number;
  const go = async (screen: string, on = page) => {
    await on.goto(`${house.url}#${screen}`);
    await on.locator('main').waitFor(patient);
  };

  beforeAll(async () => {
    nmeaPort = await freePort();
    house = await PageHouse.open({
      hostYaml: `settings: 1
degrees: fahrenheit
nmea: { tcp: { listen: "127.0.0.1:${nmeaPort}" } }
`,
    });
    const folder = join(house.dataDir, 'certificates');
    mkdirSync(folder);
    writeFileSync(join(folder, 'port-elbow@1.json'), JSON.stringify(thermistorCertificate()));
    const kit = readFileSync(house.kitPath, 'utf8');
    writeFileSync(
      house.kitPath,
      kit.replace(/^( *)- id: port-elbow$/m, '$&\n$1  certificate: certificates/port-elbow@1.json'),
    );
    page = await house.visit();
    await page.getByText('Live', { exact: true }).waitFor(patient);
  });
  afterAll(() => house?.close());

  it('packed files are sent to who can unpack them, for good; the document is asked for again', async () => {
    const script = readdirSync(assets).find((name) => /^index.*\.js$/.test(name));
    const answer = await fetch(`${house.url}assets/${script}`, { headers: { 'accept-encoding': 'gzip' } });
    expect(answer.headers.get('content-encoding')).toBe('gzip');
    expect((await answer.arrayBuffer()).byteLength).toBe(statSync(join(assets, script ?? '')).size);
    expect(answer.headers.get('cache-control')).toContain('immutable');
    expect((await fetch(house.url)).headers.get('cache-control')).toBe('no-cache');
    const plain = await fetch(`${house.url}assets/${script}`, { headers: { 'accept-encoding': 'identity' } });
    expect(plain.headers.get('content-encoding')).toBeNull();
  });

  it('a browser that chose nothing reads Fahrenheit; one that chose Celsius keeps it over a visit', async () => {
    // 16.4 C of sea are 61.5 F.
    await page.getByText('61.5').first().waitFor(patient);
    await chooseOption(page, '°C');
    await page.getByText('16.4').first().waitFor(patient);
    await page.reload();
    await page.getByText('16.4').first().waitFor(patient);
    const other = await house.visit();
    await other.getByText('61.5').first().waitFor(patient);
    await other.close();
  });

  it('a link of History brings its unit, which goes when its view is left and is not kept', async () => {
    await go('history');
    await expect.poll(() => page.url(), patient).toContain('unit=C');
    const link = page.url().replace('unit=C', 'unit=F');
    const other = await house.visit(new URL(link).hash);
    await other.locator('.extremes td', { hasText: '°F' }).first().waitFor(patient);
    expect(new URL(other.url()).hash).toContain('unit=F');
    await page.goto('about:blank');
    await page.goto(link);
    await page.locator('.extremes td', { hasText: '°F' }).first().waitFor(patient);
    await page.getByRole('link', { name: 'Now' }).click(patient);
    await page.locator('.figure', { hasText: '°C' }).first().waitFor(patient);
    expect(new URL(page.url()).hash).toBe('#now');
    await other.close();
  });

  it('each probe has the day of its next calibration, and why', async () => {
    await go('health');
    const due = (await (await fetch(`${house.url}api/calibration-due`)).json()) as CalibrationDue[];
    expect(due.find(({ probe }) => probe === 'port-elbow')).toMatchObject({
      why: 'interval',
      // A year after the certificate of 1 March 2026.
      dueAt: Date.parse('2027-03-01T10:05:00Z'),
    });
    await page.locator('.due tr', { hasText: 'Port wet elbow' }).getByText('1 Mar 2027').waitFor(patient);
    await page
      .locator('.due tr', { hasText: 'Sea water' })
      .getByText('never calibrated: read by the maker’s curve')
      .waitFor(patient);
  });

  it('what goes out is counted and shown, who listens too', async () => {
    await go('diagnostics');
    const listener = connect(nmeaPort, '127.0.0.1').on('error', () => undefined);
    await expect
      .poll(async () => {
        const row = page.locator('tr', { hasText: `NMEA 0183 over TCP at 127.0.0.1:${nmeaPort}` });
        return (await row.innerText()).replace(/\s+/g, ' ');
      }, patient)
      .toMatch(/:\d+ [1-9]\d* 0 0 0 1 connected/);
    listener.destroy();
    await page.getByText('Lost between board and host, since each started').waitFor(patient);
    await expectAccessible(page);
    await shoot(page, 'diagnostics');
  });
});

it('an idle page is sent at most 200 kB a minute', async () => {
  const house = await PageHouse.open();
  try {
    const stop = new AbortController();
    const answer = await fetch(`${house.url}api/events`, { signal: stop.signal });
    const reader = answer.body?.getReader();
    let bytes = 0;
    const until = performance.now() + 6_000;
    while (reader && performance.now() < until) bytes += (await reader.read()).value?.length ?? 0;
    stop.abort();
    expect(bytes).toBeGreaterThan(3_000);
    expect((bytes * 60) / 6).toBeLessThanOrEqual(200_000);
  } finally {
    await house.close();
  }
});

describe('a host that sends nothing ashore', () => {
  let house: PageHouse;
  let page: Page;
  beforeAll(async () => {
    house = await PageHouse.open();
    page = await house.visit('#diagnostics');
  });
  afterAll(() => house?.close());

  it('says so, and names the file that would change it', async () => {
    await page.getByText(/Nothing is sent from the host/).waitFor(patient);
    await shoot(page, 'no-outputs');
  });

  it('counts what became of the readings of each probe', async () => {
    const row = page.locator('tr', { hasText: 'Starboard exhaust gas' }).filter({ hasText: '7012' });
    await expect
      .poll(async () => (await row.innerText()).replace(/\s+/g, ' '), patient)
      .toBe('Starboard exhaust gas 7012 34 5');
  });

  it('distinguishes the twins at matched load only: 42.1 less 41.3 C, and nothing when a gas probe is open', async () => {
    await page.goto(`${house.url}#now`);
    const between = page.getByRole('region', { name: 'Shared probes and comparison' });
    await between.getByText('at equal load').waitFor(patient);
    await between.getByText(/^Starboard 0\.[789] °C warmer$/).waitFor(patient);
    await between.getByText(/^Starboard 6 °C warmer$/).waitFor(patient);
    if (house.node) house.node.missing = { 'port-exhaust': 'open' };
    await between.getByText('load not known: needs exhaust gas on each').waitFor(patient);
    await between.getByText('not known', { exact: true }).waitFor(patient);
  });

  it('History marks a clock that was put right, and how long an alert was active, not how long it waited to be acknowledged', async () => {
    const node = house.node;
    if (!node) throw new Error('This house has no node.');
    node.clockSteppedMs = -30_000;
    const since = Date.now() - 290_000;
    node.raise({
      id: 'cooling:port',
      priority: 'warning',
      since,
      state: 'rectified',
      rectifiedAt: since + 10_000,
    });
    await page.goto(`${house.url}#history`);
    const marks = page.getByRole('region', { name: 'What happened in view' });
    await marks.getByText(/clock of engine-room was set back by 30 s/).waitFor(patient);
    await marks.getByText('lasted 10 s, not acknowledged').waitFor(patient);
    node.raise({ id: 'cooling:starboard', priority: 'warning' });
    await marks.getByText('still active').waitFor(patient);
    await expectAccessible(page);
    await shoot(page, 'history-marks');
    node.clear();
    await marks.getByText('still active').waitFor({ ...patient, state: 'detached' });
    await marks.getByText('lasted 10 s, not acknowledged').first().waitFor(patient);
  });
});
