import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium } from 'playwright-core';
import { runHost } from '../../../host/run/run-host.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { chromiumOptions } from '../house/browser.js';
import { ScriptedNode } from './scripted-node.js';

/**
 * How long a person waits for the page: from the document's last byte to a chart with ink on it, in a real Chromium
 * whose window is open and at rest. A headless one draws its own window, too, and that is not the page's time.
 */
const loads = 10;
const windowOpensMs = 2_000;

const after = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

type Loaded = { readonly documentMs: number; readonly chartMs: number };

/** Runs in the page, before anything of ours: notes when a chart first has a pixel that is not clear. */
const watchForChart = (): void => {
  const look = () => {
    const canvas = document.querySelector<HTMLCanvasElement>('.plot canvas');
    const pixels =
      canvas && canvas.width > 0
        ? canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height).data.buffer
        : undefined;
    const drawn = pixels && new Uint32Array(pixels).some((pixel) => pixel !== 0);
    if (drawn) performance.mark('first-chart');
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
};

const load = async (context: BrowserContext, url: string): Promise<Loaded> => {
  const page = await context.newPage();
  await page.addInitScript(watchForChart);
  await after(windowOpensMs);
  await page.goto(url);
  await page.waitForFunction(() => performance.getEntriesByName('first-chart').length > 0, undefined, {
    timeout: 60_000,
  });
  const loaded = await page.evaluate(() => {
    const [visit] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[];
    const documentMs = visit?.responseEnd ?? 0;
    const chartMs = (performance.getEntriesByName('first-chart')[0]?.startTime ?? 0) - documentMs;
    return { documentMs, chartMs };
  });
  await page.close();
  return loaded;
};

const cold = async (browser: Browser, url: string): Promise<Loaded> => {
  const context = await browser.newContext();
  const loaded = await load(context, url);
  await context.close();
  return loaded;
};

const shown = (name: string, all: readonly Loaded[]): string => {
  const sorted = all.map(({ chartMs }) => chartMs).sort((a, b) => a - b);
  const at = (share: number) => (sorted[Math.round(share * (sorted.length - 1))] ?? 0).toFixed(0).padStart(5);
  return `${name.padEnd(28)} median ${at(0.5)} ms   least ${at(0)}   greatest ${at(1)}   (${all.length} loads)`;
};

const seasonIsLaid = async (url: string): Promise<void> => {
  const [from, to] = [Date.now() - 48 * 3_600_000, Date.now() - 3_600_000];
  for (;;) {
    const answer = await fetch(`${url}api/history?from=${from}&to=${to}&probes=port-elbow&buckets=100`);
    const { envelopes } = (await answer.json()) as { envelopes: { n: number[] }[] };
    if (envelopes?.some(({ n }) => n.some((count) => count > 0))) return;
    await after(500);
  }
};

/** The host, which runs in this process, has written the season and tidied up: a second without work. */
const hostRests = async (): Promise<void> => {
  for (;;) {
    const before = process.cpuUsage();
    await after(1_000);
    const { user, system } = process.cpuUsage(before);
    if (user + system < 150_000) return;
  }
};

const repeat = async (once: () => Promise<Loaded>): Promise<readonly Loaded[]> => {
  const all: Loaded[] = [];
  for (let i = 0; i < loads; i++) all.push(await once());
  return all;
};

const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-bench-page-'));
const kitPath = join(dataDir, 'kit.yaml');
writeFileSync(kitPath, benchKitYaml);
const node = await new ScriptedNode().start();
const host = await runHost({
  dataDir,
  pagePort: 0,
  nodes: [`127.0.0.1:${node.port}`],
  kitPath,
  season: true,
});
const browser = await chromium.launch(chromiumOptions);
try {
  await seasonIsLaid(String(host.page));
  await hostRests();
  console.log('From the last byte of the document to the first chart with ink on it');
  console.log(shown('Now, nothing kept', await repeat(() => cold(browser, String(host.page)))));
  const kept = await browser.newContext();
  await load(kept, String(host.page));
  console.log(shown('Now, seen before', await repeat(() => load(kept, String(host.page)))));
  const year = `${host.page}#history?last=${365 * 86_400_000}`;
  console.log(shown('History, a year', await repeat(() => load(kept, year))));
  const assets = fileURLToPath(new URL('../../../page/assets/', import.meta.url));
  const bytes = (ending: string) =>
    readdirSync(assets)
      .filter((name) => name.endsWith(ending))
      .reduce((sum, name) => sum + statSync(join(assets, name)).size, 0);
  const kB = (size: number) => `${(size / 1000).toFixed(1)} kB`;
  console.log(
    `JavaScript ${kB(bytes('.js.gz'))} and CSS ${kB(bytes('.css.gz'))} with gzip, together ${kB(bytes('.gz'))}; ${kB(bytes('.br'))} with brotli`,
  );
} finally {
  await browser.close();
  await host.close();
  await node.stop();
  rmSync(dataDir, { recursive: true, force: true });
}
