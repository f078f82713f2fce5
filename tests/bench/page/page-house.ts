import { cpSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { expect, inject } from 'vitest';
import { type HostOptions, type RunningHost, runHost } from '../../../host/run/run-host.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { ScriptedNode } from './scripted-node.js';
import { writeSeasonOnce } from './write-season-once.js';

/** As long as a busy machine may take; what is looked for comes within a second on a quiet one. */
export const patient = { timeout: 120_000 };

/** A real host and a real Chromium, with a scripted node at the other end of a real link. */
export class PageHouse {
  readonly dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-page-'));
  readonly kitPath = join(this.dataDir, 'kit.yaml');
  node: ScriptedNode | undefined;
  host: RunningHost | undefined;
  private browser: Browser | undefined;
  private pagePort = 0;

  /** With `node: false` the host waits for a node that never comes; with `season` its store has an invented season. */
  static async open(
    options: { readonly node?: boolean; readonly hostYaml?: string; readonly season?: boolean } & Partial<
      Omit<HostOptions, 'season'>
    > = {},
  ): Promise<PageHouse> {
    const { node = true, hostYaml, season, ...host } = options;
    const house = new PageHouse();
    if (season) {
      await writeSeasonOnce(inject('seasonFolder'));
      cpSync(inject('seasonFolder'), house.dataDir, { recursive: true });
    }
    writeFileSync(house.kitPath, benchKitYaml);
    if (hostYaml !== undefined) writeFileSync(join(house.dataDir, 'host.yaml'), hostYaml);
    if (node) house.node = await new ScriptedNode(house.secretPath).start();
    await house.startHost(host);
    house.browser = await chromium.connect(inject('browserAddress'));
    return house;
  }

  get secretPath(): string {
    return join(this.dataDir, 'link-secret');
  }

  get url(): string {
    return this.host?.page ?? '';
  }

  async startHost(options: Partial<HostOptions> = {}): Promise<void> {
    this.host = await runHost({
      dataDir: this.dataDir,
      pagePort: this.pagePort,
      nodes: [`127.0.0.1:${this.node?.port ?? 9}`],
      kitPath: this.kitPath,
      linkSecret: this.secretPath,
      ...options,
    });
    this.pagePort = Number(new URL(String(this.host.page)).port);
  }

  async stopHost(): Promise<void> {
    await this.host?.close();
    this.host = undefined;
  }

  /** A visitor of its own, with its own memory; fails the test on any error the page throws. */
  async visit(hash = '', viewport = { width: 1280, height: 800 }): Promise<Page> {
    const context = await this.context(viewport);
    const page = await context.newPage();
    page.on('pageerror', (error) => {
      throw error;
    });
    await page.goto(this.url + hash);
    return page;
  }

  /** A page that opens without its host is a test of its own: elsewhere nothing is kept. */
  context(
    viewport = { width: 1280, height: 800 },
    serviceWorkers: 'allow' | 'block' = 'block',
  ): Promise<BrowserContext> {
    if (!this.browser) throw new Error('No browser.');
    return this.browser.newContext({
      viewport,
      ignoreHTTPSErrors: true,
      timezoneId: 'Europe/London',
      locale: 'en-GB',
      serviceWorkers,
    });
  }

  async close(): Promise<void> {
    await this.browser?.close();
    await this.stopHost();
    await this.node?.stop();
    rmSync(this.dataDir, { recursive: true, force: true });
  }
}

/** A picture for people to look at, in .shots/, where ELBOWROOM_SHOTS is set. */
export const shoot = async (page: Page, name: string, fullPage = false): Promise<void> => {
  if (process.env.ELBOWROOM_SHOTS)
    await page.screenshot({ path: join('.shots', `${name}.png`), animations: 'disabled', fullPage });
};
/** Chooses colours, size, degrees or sound under Options, and closes them again. */
export const chooseOption = async (page: Page, option: string): Promise<void> => {
  const options = page.getByRole('button', { name: 'Options' });
  await options.click(patient);
  await page.getByRole('button', { name: option, exact: true }).click(patient);
  await options.click(patient);
};

/** No violation that axe can find, in the page as it is. */
export const expectAccessible = (page: Page): Promise<void> =>
  // The page has no frames: no second page is needed to gather the results.
  expectNoneOf(new AxeBuilder({ page }).setLegacyMode());

const expectNoneOf = async (axe: AxeBuilder, where = ''): Promise<void> => {
  const { violations } = await axe.analyze();
  const found = violations.map(
    (v) =>
      `${v.id}: ${v.help} at ${v.nodes.map((n) => `${n.target.join(' ')} ${n.any[0]?.message ?? ''}`).join(' | ')}`,
  );
  expect(found, where).toEqual([]);
};

const inBothPalettes = async (page: Page, look: (palette: string) => Promise<void>): Promise<void> => {
  for (const palette of ['night', 'day']) {
    await page.evaluate((colours) => {
      document.documentElement.dataset.palette = colours;
    }, palette);
    await look(palette);
  }
};

/** No violation that axe can find, in either palette. */
export const expectAccessibleByDayAndNight = (page: Page): Promise<void> =>
  inBothPalettes(page, (palette) => expectNoneOf(new AxeBuilder({ page }).setLegacyMode(), palette));

/** Text of at least 7:1, or 4.5:1 where it is large, in both palettes: level AAA of WCAG 2.2, 1.4.6. */
export const expectContrastAAA = (page: Page, selector: string): Promise<void> =>
  inBothPalettes(page, async (palette) => {
    const axe = new AxeBuilder({ page }).setLegacyMode().include(selector);
    const { passes } = await axe.withRules(['color-contrast-enhanced']).analyze();
    expect(passes.flatMap(({ nodes }) => nodes).length, palette).toBeGreaterThan(3);
    await expectNoneOf(axe, palette);
  });
