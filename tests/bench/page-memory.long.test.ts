import { afterAll, beforeAll, expect, it } from 'vitest';
import { PageHouse, patient } from './page/page-house.js';
import { probes } from './page/scripted-node.js';

/** Ten minutes at 10 Hz. */
const tenMinutes = 6_000;
const batch = 300;

let house: PageHouse;
beforeAll(async () => {
  house = await PageHouse.open();
});
afterAll(() => house?.close());

it('ten minutes at 10 Hz with 8 probes, played fast, leave the heap of a full tab within 2 MB of what it was', async () => {
  const page = await house.visit();
  await page.getByText('Live', { exact: true }).waitFor(patient);
  const cdp = await page.context().newCDPSession(page);
  const heapBytes = async () => {
    await cdp.send('HeapProfiler.collectGarbage');
    return (await cdp.send('Runtime.getHeapUsage')).usedSize;
  };
  let at = Date.now() + 60_000;
  const extra = [
    { probe: 'seventh', at, quality: 'good' },
    { probe: 'eighth', at, quality: 'good' },
  ] as const;
  const play = async (rows: number) => {
    for (let sent = 0; sent < rows; sent += batch) {
      for (let i = 0; i < batch; i++) {
        at += 100;
        const measured = probes.map(({ id }) => ({
          probe: id,
          at,
          temperatureC: 40 + (i % 9),
          quality: 'good' as const,
        }));
        const others = extra.map((row) => ({ ...row, at, temperatureC: 30 }));
        house.node?.publish({ kind: 'readings', rate: 'episode', rows: [...measured, ...others] });
      }
      // The tab must have taken this batch before the next is sent, or the host would let it go as asleep.
      await page.evaluate(
        () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
      );
    }
  };
  // Fills the ring of the chart, which is bounded, and whatever the browser keeps for itself.
  await play(tenMinutes + 1_500);
  const before = await heapBytes();
  await play(tenMinutes);
  const grownBytes = (await heapBytes()) - before;
  console.log(`heap ${(before / 1e6).toFixed(1)} MB, grown by ${(grownBytes / 1e6).toFixed(2)} MB`);
  expect(grownBytes).toBeLessThan(2_000_000);
  expect(await page.getByText('Live', { exact: true }).count()).toBe(1);
});
