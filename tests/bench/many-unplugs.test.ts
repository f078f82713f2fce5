import { mkdtempSync, readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { getHeapSpaceStatistics, setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { makeRandom } from '../../node/bench/plant/random.js';
import { openBoard } from '../../node/board/open-board.js';
import { Mcp960x } from '../../node/chips/mcp960x.js';
import { systemClock } from '../../node/time/clock.js';
import { isLong, seed, shortOrLong } from '../long-form.js';
import { Bench, StillChip } from './board-rig.js';
import { until } from './house/running-command.js';
import { PtyPort } from './pty-port.js';
import { SpeakingLine } from './speaking-line.js';

const unplugs = shortOrLong(8, 200);
const settledAfter = 20;

setFlagsFromString('--expose-gc');
const collectGarbage = runInNewContext('gc') as () => void;
/**
 * Objects in use once all that can go has gone, without the engine's machine code and its notes on code that runs
 * often. One unplug leaves about 1.5 kB behind (measured over 200), of which 400 bytes are a poller that the serial
 * binding never frees. A port or a board that is kept would weigh ten times that.
 */
const objectBytes = (): number => {
  collectGarbage();
  collectGarbage();
  return getHeapSpaceStatistics()
    .filter(({ space_name: name }) => !/code|trusted/.test(name))
    .reduce((sum, space) => sum + space.space_used_size, 0);
};
const mostBytesAnUnplug = 5_000;
/** Files and sockets this process holds: one that is kept at every unplug shows at once. */
const openFiles = (): number => readdirSync('/proc/self/fd').length;
/** Looks often: a run has hundreds of these waits. */
const soon = (what: string, done: () => boolean) => until(what, done, 60, 10);
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

it(`${unplugs} random unplugs (seed ${seed}) through the real serial binding: back each time, nothing invented, nothing leaked`, {
  timeout: 1_800_000,
}, async () => {
  const random = makeRandom(seed);
  const bench = new Bench();
  bench.analog.set(0, 417.5).set(1, 417.5);
  bench.chips.push(new StillChip(0x60, 4096, 25));
  const board = new SpeakingLine(bench);
  const path = join(mkdtempSync(join(tmpdir(), 'unplugs-')), 'tty');
  const cable = new PtyPort(board.line, path);
  await cable.plug();

  const link = openBoard(path, systemClock);
  let readings = 0;
  let invented = 0;
  for (const pin of ['A0', 'A1'])
    link.analogInput(pin).onCounts((counts) => {
      if (counts === 417) readings += 1;
      else invented += 1;
    });
  const chip = new Mcp960x(link.i2c, 0x60, 'K');
  const asking = setInterval(async () => {
    const answer = await chip.read();
    if (answer.kind === 'sample' && (answer.emfMicrovolts !== 4096 || answer.coldJunctionC !== 25))
      invented += 1;
  }, 40);
  let lost = 0;
  link.onStatus(({ state, trouble }) => {
    if (state === 'lost' && trouble !== 'no-port') lost += 1;
  });

  let settledBytes = 0;
  const filesHeld: number[] = [];
  for (let unplug = 1; unplug <= unplugs; unplug++) {
    await soon('readings', () => link.status().state === 'connected' && readings > 20);
    filesHeld.push(openFiles());
    await pause(random.between(0, 120));
    await cable.unplug();
    await soon('the loss', () => link.status().state === 'lost');
    readings = 0;
    await pause(random.between(0, 120));
    expect(readings).toBe(0);
    await cable.plug();
    if (unplug === settledAfter) settledBytes = objectBytes();
  }
  await soon('readings at the end', () => readings > 20);
  const grownBytes = (objectBytes() - settledBytes) / (unplugs - settledAfter);
  clearInterval(asking);
  await link.close();
  board.stop();
  await cable.unplug();

  expect(invented).toBe(0);
  expect(lost).toBe(unplugs);
  expect(link.counters()).toMatchObject({ connects: unplugs + 1 });
  expect(Math.max(...filesHeld)).toBeLessThanOrEqual((filesHeld[1] ?? 0) + 1);
  // A mean over a few unplugs says nothing.
  if (!isLong) return;
  console.info(
    `${grownBytes.toFixed(0)} bytes of objects more with each unplug after the first ${settledAfter}`,
  );
  expect(grownBytes).toBeLessThan(mostBytesAnUnplug);
});
