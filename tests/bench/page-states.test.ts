import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chooseOption, expectAccessible, PageHouse, patient, shoot } from './page/page-house.js';

// One file, though long: one host, browser and history serve all of it, and starting them takes longer than the tests.
describe('Now, in every state a helm may see', () => {
  let house: PageHouse;
  let page: Page;
  const node = () => {
    if (!house.node) throw new Error('This house has no node.');
    return house.node;
  };
  const see = (text: string | RegExp, on = page) =>
    on.getByText(text, { exact: true }).first().waitFor(patient);
  const engine = (name: string) => page.getByRole('region', { name, exact: true });

  beforeAll(async () => {
    house = await PageHouse.open();
    page = await house.visit();
  });
  afterAll(() => house?.close());

  it('waits in words while nothing has come yet', async () => {
    const context = await house.context();
    const waiting = await context.newPage();
    await waiting.route(/\/api\/(events|now)$/, () => new Promise(() => {}));
    await waiting.goto(house.url);
    await see('Waiting for the first readings from the host…', waiting);
    await expectAccessible(waiting);
    await shoot(waiting, 'loading');
    await context.close();
  });

  it('live, shows the room of each engine below its alarm: 75 less 41.3 and less 42.1', async () => {
    await see('Live');
    const room = (name: string) => engine(name).locator('.room .figure').innerText();
    await expect.poll(() => room('Port'), patient).toMatch(/^34\s*°C$/);
    await expect.poll(() => room('Starboard'), patient).toMatch(/^33\s*°C$/);
    await see('No alerts');
    await see('at equal load');
    await shoot(page, 'live');
  });

  it('shrinking, shows the seconds left at the present rate, and no red while there are no alerts', async () => {
    node().temperatures['starboard-elbow'] = 45;
    const ramp = setInterval(() => {
      const now = node().temperatures['starboard-elbow'] ?? 0;
      if (now < 66) node().temperatures['starboard-elbow'] = now + 0.5;
    }, 500);
    await engine('Starboard')
      .locator('.left')
      .getByText(/^\d+ s left/)
      .waitFor(patient);
    await shoot(page, 'shrinking');
    clearInterval(ramp);
    node().temperatures['starboard-elbow'] = 80;
    // Above its limit the real temperature is shown, and red is kept for an alarm.
    await engine('Starboard').locator('.room.calm .figure').getByText('80').waitFor(patient);
    await engine('Starboard').getByText('limit 75 °C').waitFor(patient);
    node().temperatures['starboard-elbow'] = 66;
  });

  it('a warning has its mark, its word, what to do and two buttons, and leaves the figure its meaning', async () => {
    node().raise({ id: 'cooling:starboard', priority: 'warning' });
    const alert = page.getByRole('article', { name: /^warning: Starboard: ease back/ });
    await alert.waitFor(patient);
    expect(await alert.locator('svg.mark.warning circle').count()).toBe(1);
    expect(await alert.getByRole('listitem').count()).toBe(3);
    await engine('Starboard').locator('.room.warning').getByText('below alarm').waitFor(patient);
    await shoot(page, 'warning');
  });

  it('an alarm says engine, what to do, temperature and limit in at most 25 words, and silence reaches the node', async () => {
    node().temperatures['starboard-elbow'] = 101;
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    const alert = page.getByRole('article', { name: /^alarm: Starboard: idle, then stop/ });
    await alert.waitFor(patient);
    expect(await alert.locator('svg.mark.alarm path').count()).toBe(2);
    expect(await alert.getByRole('alert').count()).toBe(1);
    await alert.locator('.degrees').getByText('101°').waitFor(patient);
    await engine('Starboard').locator('.room.alarm .figure').getByText('101').waitFor(patient);
    const words = await alert.evaluate((card) =>
      [...card.querySelectorAll<HTMLElement>(':scope > header, :scope > ol, .hands button, .foot .grade')]
        .map((part) => part.innerText.replace(/F\d/, ''))
        .join(' ')
        .split(/\s+/)
        .filter((word) => /\w/.test(word)),
    );
    expect(words.slice(0, 7)).toEqual(['101°', 'limit', '75°', 'STARBOARD:', 'IDLE,', 'THEN', 'STOP']);
    expect(words.length).toBeGreaterThan(15);
    expect(words.length).toBeLessThanOrEqual(25);
    expect(await page.title()).toMatch(/^ALARM/);
    await shoot(page, 'alarm');
    await alert.getByRole('button', { name: /^Silence/ }).click(patient);
    await alert.getByRole('button', { name: /^Silent/ }).waitFor(patient);
    expect(node().commands.at(-1)).toEqual({ do: 'silence', alertId: 'cooling:starboard' });
  });

  it('what to do is 14 mm high on a 10-inch screen of 1024x600, and its buttons are far apart', async () => {
    await page.setViewportSize({ width: 1024, height: 600 });
    const found = await page.evaluate(() => {
      const order = document.querySelector('.card .order');
      const box = (selector: string) => document.querySelector(`.card ${selector}`)?.getBoundingClientRect();
      return {
        fontPx: order ? Number.parseFloat(getComputedStyle(order).fontSize) : 0,
        apartPx: (box('.silence')?.left ?? 0) - (box('.acknowledge')?.right ?? 0),
        // The engine's name is one line, not broken, with its temperature beside it.
        namePx: box('.who')?.height ?? 0,
        besidePx: (box('.degrees')?.top ?? 0) - (box('.order')?.top ?? 0),
        bottom: box('.acknowledge')?.bottom ?? Number.POSITIVE_INFINITY,
      };
    });
    // 1187 px along a diagonal of 254 mm; capitals of Arimo are 1409 of 2048 units high (its OS/2 table).
    const pxPerMm = Math.hypot(1024, 600) / 254;
    expect((found.fontPx * 1409) / 2048 / pxPerMm).toBeGreaterThanOrEqual(14);
    expect(found.apartPx / pxPerMm).toBeGreaterThanOrEqual(12);
    expect(found.namePx).toBeLessThan(1.3 * found.fontPx);
    expect(Math.abs(found.besidePx)).toBeLessThan(found.fontPx / 2);
    expect(found.bottom).toBeLessThanOrEqual(600);
    await page.setViewportSize({ width: 1280, height: 800 });
    // At the helm the path of each engine is in view below it.
    const paths = await page
      .locator('.engine .path')
      .evaluateAll((all) => all.map((e) => e.getBoundingClientRect().bottom));
    expect(Math.max(...paths)).toBeLessThanOrEqual(800);
    expect(paths).toHaveLength(2);
  });

  it('gives the rest, the reason and the numbers when asked', async () => {
    const more = page.getByRole('button', { name: 'More', exact: true });
    await more.click(patient);
    const column = async (title: string) =>
      (await page.locator('.card .evidence section', { hasText: title }).innerText()).replace(/\s+/g, ' ');
    await expect
      .poll(() => column('Seen when it was raised'), patient)
      .toMatch(/temperature 76\.2 °C rise 0\.90 °C a second$/);
    expect(await column('Raised by')).toMatch(/rule high-limit raise at 75\.0 °C$/);
    expect(await page.locator('.card').getByRole('listitem').count()).toBe(node().alerts[0]?.actions.length);
    await shoot(page, 'more');
    await page.getByRole('button', { name: 'Less', exact: true }).click(patient);
    expect(await page.locator('.card .more').isVisible()).toBe(false);
  });

  it('acknowledged by its key in one browser, it is acknowledged in another, and the focus stays at the alert', async () => {
    const other = await house.visit();
    await other.getByRole('article', { name: /^alarm/ }).waitFor(patient);
    await page.getByRole('button', { name: 'Acknowledge' }).first().focus();
    await page.keyboard.press('F8');
    for (const on of [page, other]) await on.locator('.card.alarm.acknowledged').waitFor(patient);
    expect(node().commands.at(-1)).toEqual({ do: 'acknowledge', alertId: 'cooling:starboard' });
    expect(await page.evaluate(() => document.activeElement?.className)).toContain('card alarm');
    await shoot(page, 'acknowledged');
    await other.context().close();
    node().temperatures['starboard-elbow'] = 42.1;
  });

  it('ended before it was acknowledged, it waits for that and then is gone', async () => {
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    node().rectify('cooling:starboard');
    await see('ended, acknowledge');
    await shoot(page, 'rectified');
    await page.getByRole('button', { name: 'Acknowledge' }).click(patient);
    await see('No alerts');
  });

  it('several that have ended are folded, and are acknowledged one by one as each is read', async () => {
    for (const engine of ['port', 'starboard'] as const) {
      node().raise({
        id: `load:${engine}`,
        priority: 'warning',
        engine,
        message: `The ${engine} load is high.`,
      });
      node().rectify(`load:${engine}`);
    }
    await page.getByText(/^2 alerts have ended and wait/).click(patient);
    const line = (engine: string) =>
      page.getByRole('article', { name: `warning: The ${engine} load is high.` });
    expect(await page.getByRole('button', { name: /all/i }).count()).toBe(0);
    await shoot(page, 'over');
    await line('port').getByRole('button', { name: 'Acknowledge' }).click(patient);
    await expect.poll(() => line('port').count(), patient).toBe(0);
    expect(node().commands.at(-1)).toEqual({ do: 'acknowledge', alertId: 'load:port' });
    await line('starboard').getByRole('button', { name: 'Acknowledge' }).click(patient);
    await see('No alerts');
  });

  it('with the elbow probe open, does not know the room and says so', async () => {
    node().missing['port-elbow'] = 'open';
    await engine('Port').getByText('Room not known').waitFor(patient);
    await engine('Port')
      .getByText(/its circuit is open/)
      .first()
      .waitFor(patient);
    await shoot(page, 'probe-open');
    node().missing = {};
    await engine('Port').locator('.figure').getByText('34').waitFor(patient);
  });

  it('with the gas probe open, still shows the room at the elbow and says what is not seen', async () => {
    node().missing['port-exhaust'] = 'open';
    await engine('Port').getByText('Exhaust gas not seen').waitFor(patient);
    expect(await engine('Port').locator('.room .figure').innerText()).toMatch(/^34/);
    node().missing = {};
    await engine('Port')
      .getByText('Exhaust gas not seen')
      .waitFor({ ...patient, state: 'detached' });
  });

  it('once a person allowed sound, an alarm is heard in samples; silence and acknowledgement end it', async () => {
    const context = await house.context();
    const heard = await context.newPage();
    // Listens where the page plays: whatever goes to the loudspeaker also goes to an analyser.
    await heard.addInitScript(() => {
      const connect = AudioNode.prototype.connect as (to: AudioNode) => AudioNode;
      let analyser: AnalyserNode | undefined;
      AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
        if (to instanceof AudioDestinationNode) {
          analyser ??= new AnalyserNode(to.context, { fftSize: 32_768 });
          connect.call(this, analyser);
        }
        return connect.call(this, to);
      } as typeof AudioNode.prototype.connect;
      Object.assign(globalThis, {
        playedS: () => analyser?.context.currentTime ?? 0,
        loudest: () => {
          const samples = new Float32Array(32_768);
          analyser?.getFloatTimeDomainData(samples);
          return [analyser?.context.state, samples.reduce((most, s) => Math.max(most, Math.abs(s)), 0)];
        },
      });
    });
    await heard.goto(house.url);
    await see('Live', heard);
    const loudest = () => heard.evaluate(() => (globalThis as unknown as { loudest(): unknown[] }).loudest());
    const playedS = () => heard.evaluate(() => (globalThis as unknown as { playedS(): number }).playedS());
    expect(await loudest()).toEqual([undefined, 0]);
    await chooseOption(heard, 'On');
    // The short note that says it works is over before the alarm comes.
    await expect.poll(playedS, patient).toBeGreaterThan(2);
    await expect.poll(loudest, patient).toEqual(['running', 0]);
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    await expect.poll(async () => (await loudest())[1], patient).toBeGreaterThan(0.05);
    await heard.getByRole('button', { name: /^Silence/ }).click(patient);
    await expect.poll(loudest, patient).toEqual(['running', 0]);
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    await expect.poll(async () => (await loudest())[1], patient).toBeGreaterThan(0.05);
    await heard.getByRole('button', { name: 'Acknowledge' }).click(patient);
    await expect.poll(loudest, patient).toEqual(['running', 0]);
    node().clear();
    // Lost data is heard as well, and is quiet when the data are back.
    await house.stopHost();
    await heard.locator('.no-data').waitFor(patient);
    await expect.poll(async () => (await loudest())[1], patient).toBeGreaterThan(0.05);
    await house.startHost();
    await heard.locator('.no-data').waitFor({ ...patient, state: 'detached' });
    await expect.poll(loudest, patient).toEqual(['running', 0]);
    // The choice outlives a reload, after which the browser may want a touch before it plays.
    await heard.reload();
    await see('Live', heard);
    await heard
      .locator('html[data-sound=on], html[data-sound=blocked]')
      .waitFor({ ...patient, state: 'attached' });
    await heard.locator('h1').click(patient);
    await heard.locator('html[data-sound=on]').waitFor({ ...patient, state: 'attached' });
    await context.close();
  });

  it('a stopped host is shown within 4 s: no figure, no clock, buttons off; started again, the page returns by itself', async () => {
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    await page.locator('.card.alarm').waitFor(patient);
    // A second page whose clock is ours: 4 s after the stop it does not move.
    const context = await house.context();
    const clocked = await context.newPage();
    await clocked.clock.install();
    await clocked.goto(house.url);
    await see('Live', clocked);
    await house.stopHost();
    await clocked.clock.pauseAt((await clocked.evaluate(() => Date.now())) + 4_000);
    await clocked.locator('.no-data').getByText('Lost contact with the host.').waitFor(patient);
    await context.close();
    await page.locator('.no-data').getByText('Lost contact with the host.').waitFor(patient);
    for (const name of ['Port', 'Starboard'])
      expect(await engine(name).locator('.figure').innerText()).toBe('––');
    expect(await page.locator('.head .time').innerText()).toBe('--:--:--');
    expect(await page.locator('.card .degrees').innerText()).toBe('––');
    expect(await page.getByRole('button', { name: /^Acknowledge/ }).isDisabled()).toBe(true);
    await see('No contact with the host: this page cannot acknowledge or silence.');
    await shoot(page, 'host-silent');
    await house.startHost();
    await page.locator('.no-data').waitFor({ ...patient, state: 'detached' });
    node().clear();
    await see('No alerts');
  });

  it('a lost node is named, its figures are dashes, and nothing claims that there are no alerts', async () => {
    await node().stop();
    await page.locator('.no-data').getByText('Lost contact with engine-room.').waitFor(patient);
    expect(await page.getByText('No alerts').count()).toBe(0);
    await expect.poll(() => engine('Port').locator('.figure').innerText(), patient).toBe('––');
    await shoot(page, 'node-lost');
  });
});

describe('the first visit, before any node has spoken', () => {
  it('says what to start, and that nothing is measured', async () => {
    const house = await PageHouse.open({ node: false });
    try {
      const page = await house.visit();
      await page.getByText('No readings yet').waitFor(patient);
      await expectAccessible(page);
      await shoot(page, 'first-visit');
    } finally {
      await house.close();
    }
  });
});
