import { afterEach, expect, it, vi } from 'vitest';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import { makeRandom } from '../../node/bench/plant/random.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { AnalogChannel } from '../../node/input/analog-channel.js';
import { asMonotonicMs, asWallMs } from '../../node/time/clock.js';
import { useEmulatedTimers } from './board-rig.js';
import { SpeakerLine } from './speaker-rig.js';

let board: LiveBoard | undefined;
afterEach(async () => {
  await board?.close();
  vi.useRealTimers();
});

const passMs = 100;
const passesPerLevel = 150;
/** Sixteen places within one count. */
const levels = Array.from({ length: 16 }, (_, i) => 600 + i / 16);

/** Spread and bias of what a pass makes of a converter with this noise, in counts. */
async function measured(noiseCounts: number) {
  useEmulatedTimers();
  const random = makeRandom(11);
  let level = levels[0] ?? 0;
  let nowMs = 0;
  const line = new SpeakerLine({
    ...nothingConnected,
    analogCounts: () => level + noiseCounts * random.normal(),
  });
  const clock = { monotonicMs: () => asMonotonicMs(nowMs), wallMs: () => asWallMs(nowMs) };
  board = new LiveBoard(line, clock);
  const channel = new AnalogChannel('probe', board.analogInput('A0'), clock);
  const pass = async () => {
    for (let ms = 0; ms < passMs; ms += 10) {
      nowMs += 10;
      await line.advance(10);
    }
    const sample = channel.take()?.sample;
    return sample?.kind === 'counts' ? sample : undefined;
  };
  for (let i = 0; i < 10; i++) await pass();
  let squares = 0;
  let worstBias = 0;
  let taken = 0;
  for (level of levels) {
    await pass();
    const errors: number[] = [];
    for (let i = 0; i < passesPerLevel; i++) {
      const sample = await pass();
      errors.push((sample?.counts ?? Number.NaN) - level);
      taken += sample?.taken ?? 0;
    }
    const bias = errors.reduce((a, b) => a + b, 0) / errors.length;
    worstBias = Math.max(worstBias, Math.abs(bias));
    squares += errors.reduce((sum, error) => sum + (error - bias) ** 2, 0) / errors.length;
  }
  const perPass = taken / (levels.length * passesPerLevel);
  await board.close();
  board = undefined;
  // The ideal: noise and the rounding of one code (1/12 of a count squared), averaged over the counts of a pass.
  const idealSd = Math.sqrt((noiseCounts ** 2 + 1 / 12) / perPass);
  return { perPass, sd: Math.sqrt(squares / levels.length), idealSd, worstBias };
}

it('ten counts a pass gain a factor of three in resolution: within 15 % of the ideal, without bias, when the noise dithers', async () => {
  for (const noiseCounts of [0.5, 0.7, 1.0, 1.4]) {
    const { perPass, sd, idealSd, worstBias } = await measured(noiseCounts);
    console.info(
      `noise ${noiseCounts} counts: ${perPass.toFixed(1)} counts a pass, spread ${sd.toFixed(3)} (ideal ${idealSd.toFixed(3)}), bias at most ${worstBias.toFixed(3)}`,
    );
    expect(perPass).toBeGreaterThan(8);
    expect(sd).toBeLessThan(idealSd * 1.15);
    expect(worstBias).toBeLessThan(0.12);
  }
});

it('without noise there is nothing to gain: the mean stays within half a count and knows no better', async () => {
  const { sd, worstBias } = await measured(0);
  expect(sd).toBe(0);
  expect(worstBias).toBeGreaterThan(0.4);
  expect(worstBias).toBeLessThanOrEqual(0.5);
});
