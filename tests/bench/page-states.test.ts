import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { expectAccessible, PageHouse, patient, shoot } from './page/page-house.js';

describe('Now, in every state a helm may see', () => {
  let house: PageHouse;
  let page: Page;
  const node = () => {
    if (!house.node) throw new Error('This house has no node.');
    return house.node;
  };
  const see = (text: string | RegExp, on = page) => on.getByText(text).first().waitFor(patient);

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
    await see('Waiting for the first figures', waiting);
    await expectAccessible(waiting);
    await shoot(waiting, 'loading');
    await context.close();
  });

  it('live, shows the room of each engine to its warning: 68 less 41.3 and less 42.1', async () => {
    await see(/^live$/);
    const room = (engine: string) => page.locator(`.engine.${engine} .room .figure`).innerText();
    await expect.poll(() => room('port'), patient).toMatch(/^27\s*°C$/);
    await expect.poll(() => room('starboard'), patient).toMatch(/^26\s*°C$/);
    await see('No alerts stand.');
    await see('at matched load');
    await expectAccessible(page);
    await shoot(page, 'live');
  });

  it('shrinking, tells the seconds left at the present rate', async () => {
    node().temperatures['starboard-elbow'] = 45;
    const ramp = setInterval(() => {
      const now = node().temperatures['starboard-elbow'] ?? 0;
      if (now < 66) node().temperatures['starboard-elbow'] = now + 0.5;
    }, 500);
    await page
      .locator('.engine.starboard .going')
      .getByText(/^\d+ s left/)
      .waitFor(patient);
    await shoot(page, 'shrinking');
    clearInterval(ramp);
  });

  it('a warning stands with its mark, its word, what to do and two buttons', async () => {
    node().raise({ id: 'cooling:starboard', priority: 'warning' });
    const alert = page.getByRole('article', { name: /^warning/ });
    await alert.waitFor(patient);
    expect(await alert.locator('svg.mark.warning circle').count()).toBe(1);
    expect(await alert.getByRole('listitem').count()).toBe(node().alerts[0]?.actions.length);
    await expectAccessible(page);
    await shoot(page, 'warning');
  });

  it('an alarm is announced, and silence travels to the node', async () => {
    node().temperatures['starboard-elbow'] = 76.2;
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    await page.locator('.engine.starboard .room').getByText('past the alarm setpoint').waitFor(patient);
    const alert = page.getByRole('article', { name: /^alarm/ });
    await alert.waitFor(patient);
    expect(await alert.locator('svg.mark.alarm path').count()).toBe(2);
    expect(await alert.getByRole('alert').count()).toBe(1);
    expect(await alert.getByRole('listitem').count()).toBe(node().alerts[0]?.actions.length);
    expect(await page.title()).toMatch(/^ALARM/);
    await expectAccessible(page);
    await shoot(page, 'alarm');
    await alert.getByRole('button', { name: /^Silence/ }).click(patient);
    await alert.getByRole('button', { name: /^Silent for/ }).waitFor(patient);
    expect(node().commands.at(-1)).toEqual({ do: 'silence', alertId: 'cooling:starboard' });
  });

  it('an alarm with six or more first actions, both rooms and the foot of both drawings are in view together', async () => {
    const parts = ['.alert h2', '.alert .since', '.alert li', '.alert button', '.engine .room'];
    const drawing = '.engine .drawing';
    for (const [name, width, height, wanted] of [
      ['helm', 1280, 800, [...parts, drawing]],
      ['helm, below the bars of a browser', 1180, 720, [...parts, drawing]],
      ['tablet upright', 800, 1280, [...parts, drawing]],
      ['phone', 390, 844, parts],
    ] as const) {
      await page.setViewportSize({ width, height });
      const seen = () =>
        page.evaluate(
          ([selectors, below]) =>
            selectors.flatMap((selector) =>
              [...document.querySelectorAll(selector)].map((e) => {
                const { top, bottom, width: wide } = e.getBoundingClientRect();
                return top >= 0 && bottom <= below && wide > 0 ? selector : `${selector} down to ${bottom}`;
              }),
            ),
          [wanted as readonly string[], name === 'phone' ? height - 52 : height] as const,
        );
      const actions = node().alerts[0]?.actions.length ?? 0;
      expect(actions).toBeGreaterThanOrEqual(6);
      const counts = { '.alert li': actions, '.alert button': 3, '.engine .room': 2, '.engine .drawing': 2 };
      const every = wanted.flatMap((part) =>
        new Array<string>(part in counts ? counts[part as keyof typeof counts] : 1).fill(part),
      );
      await expect.poll(seen, { ...patient, message: name }).toEqual(every);
      await shoot(page, `alarm-${width}`);
    }
    await page.setViewportSize({ width: 1280, height: 800 });
  });

  it('says why when asked, in numbers', async () => {
    const why = page.getByRole('button', { name: 'Why' });
    await why.click(patient);
    const column = async (title: string) =>
      (await page.locator('.alert .why section', { hasText: title }).innerText()).replace(/\s+/g, ' ');
    await expect
      .poll(() => column('Seen when it was raised'), patient)
      .toMatch(/temperature 76\.2 °C rise 0\.90 °C a second$/);
    expect(await column('Raises it')).toMatch(/rule high-limit raise at 75\.0 °C$/);
    await expectAccessible(page);
    await shoot(page, 'why');
    await why.click(patient);
    expect(await page.locator('.alert .why').isVisible()).toBe(false);
  });

  it('acknowledged by the keyboard in one browser, it is acknowledged in another', async () => {
    const other = await house.visit();
    await other.getByRole('article', { name: /^alarm/ }).waitFor(patient);
    await page.getByRole('button', { name: 'Acknowledge' }).first().focus();
    await page.keyboard.press('Enter');
    await see('acknowledged, still standing', other);
    await see('acknowledged, still standing');
    expect(node().commands.at(-1)).toEqual({ do: 'acknowledge', alertId: 'cooling:starboard' });
    await expectAccessible(page);
    await shoot(page, 'acknowledged');
    await other.context().close();
  });

  it('rectified before anybody looked, it waits to be acknowledged and then is gone', async () => {
    node().raise({ id: 'cooling:starboard', priority: 'alarm' });
    node().rectify('cooling:starboard');
    await see('over: acknowledge to clear');
    await expectAccessible(page);
    await shoot(page, 'rectified');
    await page.getByRole('button', { name: 'Acknowledge' }).click(patient);
    await see('No alerts stand.');
  });

  it('several that are over fold away, and are acknowledged one by one as each is read', async () => {
    for (const engine of ['port', 'starboard'] as const) {
      node().raise({
        id: `load:${engine}`,
        priority: 'warning',
        engine,
        message: `The ${engine} load is high.`,
      });
      node().rectify(`load:${engine}`);
    }
    await page.getByText(/^2 alerts are over and wait/).click(patient);
    const line = (engine: string) =>
      page.getByRole('article', { name: `warning: The ${engine} load is high.` });
    expect(await page.getByRole('button', { name: /all/i }).count()).toBe(0);
    await shoot(page, 'over');
    await line('port').getByRole('button', { name: 'Acknowledge' }).click(patient);
    await expect.poll(() => line('port').count(), patient).toBe(0);
    expect(node().commands.at(-1)).toEqual({ do: 'acknowledge', alertId: 'load:port' });
    await line('starboard').getByRole('button', { name: 'Acknowledge' }).click(patient);
    await see('No alerts stand.');
  });

  it('with the elbow probe open, does not know the room and says so', async () => {
    node().missing['port-elbow'] = 'open';
    await page.locator('.engine.port').getByText('Room not known').waitFor(patient);
    await see(/its circuit is open/);
    await expectAccessible(page);
    await shoot(page, 'probe-open');
    node().missing = {};
    await page.locator('.engine.port .figure').getByText('27').waitFor(patient);
  });

  it('once a person allowed sound, an alarm is heard in samples; silence and acknowledgement end it', async () => {
    const context = await house.context();
    const heard = await context.newPage();
    // Listens where the page plays: whatever goes to the loudspeaker also goes to an analyser.
    await heard.addInitScript(() => {
      const connect = AudioNode.prototype.connect as (to: AudioNode) => AudioNode;
      let ear: AnalyserNode | undefined;
      AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
        if (to instanceof AudioDestinationNode) {
          ear ??= new AnalyserNode(to.context, { fftSize: 32_768 });
          connect.call(this, ear);
        }
        return connect.call(this, to);
      } as typeof AudioNode.prototype.connect;
      Object.assign(globalThis, {
        playedS: () => ear?.context.currentTime ?? 0,
        loudest: () => {
          const samples = new Float32Array(32_768);
          ear?.getFloatTimeDomainData(samples);
          return [ear?.context.state, samples.reduce((most, s) => Math.max(most, Math.abs(s)), 0)];
        },
      });
    });
    await heard.goto(house.url);
    await see(/^live$/, heard);
    const loudest = () => heard.evaluate(() => (globalThis as unknown as { loudest(): unknown[] }).loudest());
    const playedS = () => heard.evaluate(() => (globalThis as unknown as { playedS(): number }).playedS());
    expect(await loudest()).toEqual([undefined, 0]);
    await heard.getByRole('button', { name: 'sound here off' }).click(patient);
    // The short note that says it works has died away before the alarm comes.
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
    await context.close();
  });

  it('a stopped host is told within seconds and the figures stop looking live; started again, the page returns by itself', async () => {
    await house.stopHost();
    await see(/host not heard for/);
    expect(await page.locator('.frame.link-silent').count()).toBe(1);
    await expectAccessible(page);
    await shoot(page, 'host-silent');
    await house.startHost();
    await see(/^live$/);
  });

  it('a lost node is named, its figures are old, and nobody claims that no alert stands', async () => {
    await node().stop();
    await see(/engine-room away/);
    await see('Not known whether alerts stand');
    await see(/not heard for a while/);
    await expectAccessible(page);
    await shoot(page, 'node-lost');
  });
});

describe('the first visit, before any node has spoken', () => {
  it('says what to start, and that nothing is measured', async () => {
    const house = await PageHouse.open({ node: false });
    try {
      const page = await house.visit();
      await page.getByText('No probe has spoken yet').waitFor(patient);
      await expectAccessible(page);
      await shoot(page, 'first-visit');
    } finally {
      await house.close();
    }
  });
});
