import { afterEach, expect, it, vi } from 'vitest';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import { makeRandom } from '../../node/bench/plant/random.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { AnalogChannel } from '../../node/input/analog-channel.js';
import { LineCable, useEmulatedTimers } from './board-rig.js';
import { SteppedBoard } from './stepped-board.js';

let link: LiveBoard | undefined;
afterEach(async () => {
  await link?.close();
  vi.useRealTimers();
});

const passS = 0.1;
const passesPerLevel = 30;
/** Eight places within one count. */
const levels = Array.from({ length: 8 }, (_, i) => 600 + i / 8);
/** Noise on A0 to A3, in counts of the converter. */
const noises = [0.5, 0.7, 1, 1.4];

const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

it('the stock firmware on the emulated ATmega328P, noise at its converter’s pins: what a pass makes of it is within 15 % of the ideal spread', async () => {
  useEmulatedTimers();
  const random = makeRandom(23);
  let level = levels[0] ?? 0;
  const board = new SteppedBoard({
    outside: {
      ...nothingConnected,
      analogCounts: (channel) => level + (noises[channel] ?? 0) * random.normal(),
    },
  });
  board.everyMillisecond(() => vi.advanceTimersByTime(1));
  link = new LiveBoard(new LineCable(board.emulation.line), board.clock);
  const { clock } = board;
  const live = link;
  const channels = noises.map((_, i) => new AnalogChannel(`a${i}`, live.analogInput(`A${i}`), clock));
  await board.advanceUntil(() => live.status().state === 'connected', 30);
  /** Waits for the end of a pass on the board's own clock, as the node's rhythm does. */
  const pass = async () => {
    const endMs = clock.monotonicMs() + passS * 1000;
    await board.advanceUntil(() => clock.monotonicMs() >= endMs, 1);
    return channels.map((channel) => channel.take()?.sample);
  };
  for (let i = 0; i < 10; i++) await pass();

  const seen = noises.map(() => ({ squares: 0, worstBias: 0, taken: 0 }));
  for (level of levels) {
    await pass();
    const errors: number[][] = noises.map(() => []);
    for (let i = 0; i < passesPerLevel; i++)
      for (const [channel, sample] of (await pass()).entries()) {
        if (sample?.kind !== 'counts') throw new Error(`no counts at A${channel}`);
        errors[channel]?.push(sample.counts - level);
        const sums = seen[channel];
        if (sums) sums.taken += sample.taken;
      }
    for (const [channel, sums] of seen.entries()) {
      const all = errors[channel] ?? [];
      const bias = meanOf(all);
      sums.worstBias = Math.max(sums.worstBias, Math.abs(bias));
      // Errors about their own mean: divided by one fewer than they are.
      sums.squares += all.reduce((sum, error) => sum + (error - bias) ** 2, 0) / (all.length - 1);
    }
  }

  for (const [channel, { squares, worstBias, taken }] of seen.entries()) {
    const noiseCounts = noises[channel] ?? 0;
    const perPass = taken / (levels.length * passesPerLevel);
    const sd = Math.sqrt(squares / levels.length);
    // The ideal: noise and the rounding of one code (1/12 of a count squared), averaged over the counts of a pass.
    const idealSd = Math.sqrt((noiseCounts ** 2 + 1 / 12) / perPass);
    console.info(
      `A${channel}, noise ${noiseCounts} counts: ${perPass.toFixed(1)} counts a pass, spread ${sd.toFixed(3)} (ideal ${idealSd.toFixed(3)}), bias at most ${worstBias.toFixed(3)}`,
    );
    expect(perPass).toBeGreaterThan(4);
    expect(sd / idealSd).toBeGreaterThan(0.85);
    expect(sd / idealSd).toBeLessThan(1.15);
    // Four standard errors of the mean of a level, and what dither of half a count leaves.
    expect(worstBias).toBeLessThan((4 * idealSd) / Math.sqrt(passesPerLevel) + 0.02);
  }
});
