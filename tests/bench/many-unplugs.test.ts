import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { getHeapSpaceStatistics, setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { PtyPort } from '../../node/bench/board/pty-port.js';
import { makeRandom } from '../../node/bench/plant/random.js';
import { openBoard } from '../../node/board/open-board.js';
import { Mcp960x } from '../../node/chips/mcp960x.js';
import { systemClock } from '../../node/time/clock.js';
import { Bench, StillChip } from './board-rig.js';
import { until } from './house/running-command.js';
import { SpeakingLine } from './speaking-line.js';

/** The whole run is UNPLUGS=200; in the suite a share of it. */
const unplugs = Number(process.env.UNPLUGS ?? 24);
const settledAfter = Math.min(20, unplugs / 2);

setFlagsFromString('--expose-gc');
const collectGarbage = runInNewContext('gc') as () => void;
/**
 * What is in use once all that can go has gone. Of the 3 kB that one unplug leaves behind (measured over 200) half is machine
 * code, so the objects, which are what could leak, are looked at on their own too. Of those most are the engine's notes
 * on code that runs often, and about 400 bytes are a poller that the serial binding never frees; none is ours.
 */
const heap = (): { allMb: number; objectsMb: number } => {
  collectGarbage();
  collectGarbage();
  const objects = getHeapSpaceStatistics().filter(({ space_name: name }) => !/code|trusted/.test(name));
  return {
    allMb: process.memoryUsage().heapUsed / 1e6,
    objectsMb: objects.reduce((sum, space) => sum + space.space_used_size, 0) / 1e6,
  };
};
/** Looks often: a run has hundreds of these waits. */
const soon = (what: string, done: () => boolean) => until(what, done, 60, 10);
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

it(`${unplugs} random unplugs through the real serial binding: back each time, nothing invented, nothing leaked`, {
  timeout: 1_800_000,
}, async () => {
  const random = makeRandom(3);
  const bench = new Bench();
  bench.analog.set(0, 417.5).set(1, 417.5);
  bench.chips.push(new StillChip(0x60, 4096, 25));
  const board = new SpeakingLine(bench);
  const path = join(mkdtempSync(join(tmpdir(), 'unplugs-')), 'tty');
  const cable = new PtyPort(board.line, path);
  await cable.plug();

  const link = openBoard({ connection: path, clock: systemClock });
  let heard = 0;
  let invented = 0;
  for (const pin of ['A0', 'A1'])
    link.analogInput(pin).onCounts((counts) => {
      if (counts === 417) heard += 1;
      else invented += 1;
    });
  const chip = new Mcp960x(link.i2c, 0x60, { thermocouple: 'K' });
  const asking = setInterval(async () => {
    const answer = await chip.read();
    if (answer.kind === 'sample' && (answer.emfMicrovolts !== 4096 || answer.coldJunctionC !== 25))
      invented += 1;
  }, 40);
  let lost = 0;
  link.onStatus(({ state, trouble }) => {
    if (state === 'lost' && trouble !== 'no-port') lost += 1;
  });

  let settled = { allMb: 0, objectsMb: 0 };
  for (let unplug = 1; unplug <= unplugs; unplug++) {
    await soon('readings', () => link.status().state === 'connected' && heard > 20);
    await pause(random.between(0, 120));
    await cable.unplug();
    await soon('the loss', () => link.status().state === 'lost');
    heard = 0;
    await pause(random.between(0, 120));
    expect(heard).toBe(0);
    await cable.plug();
    if (unplug === settledAfter) settled = heap();
  }
  await soon('readings at the end', () => heard > 20);
  const atEnd = heap();
  for (const [when, { allMb, objectsMb }] of [
    [settledAfter, settled],
    [unplugs, atEnd],
  ] as const)
    console.info(
      `after ${when} unplugs: heap ${allMb.toFixed(2)} MB, objects in it ${objectsMb.toFixed(2)} MB`,
    );
  clearInterval(asking);
  await link.close();
  board.stop();
  await cable.unplug();

  expect(invented).toBe(0);
  expect(lost).toBe(unplugs);
  expect(link.counters()).toMatchObject({ connects: unplugs + 1 });
  expect(atEnd.allMb).toBeLessThan(settled.allMb * 1.05);
  expect(atEnd.objectsMb).toBeLessThan(settled.objectsMb * 1.02);
});
