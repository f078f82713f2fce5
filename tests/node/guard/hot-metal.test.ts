import { expect, it } from 'vitest';
import {
  type ExhaustMemory,
  fallsAsHotMetal,
  stepExhaustMemory,
} from '../../../node/guard/exhaust-memory.js';

const dtS = 0.2;
/** Whether the gas falls as around hot metal, each second from the third minute on. */
function falls(gasAt: (s: number) => number, untilS: number): readonly boolean[] {
  const each: boolean[] = [];
  let memory: ExhaustMemory | undefined;
  for (let i = 0; i * dtS < untilS; i++) {
    memory = stepExhaustMemory(memory, gasAt(i * dtS), dtS);
    if (i % 5 === 0 && i * dtS >= 180) each.push(fallsAsHotMetal(memory));
  }
  return each;
}

/** Newton's law of cooling. */
const cooling = (fromC: number, toC: number, tauS: number) => (s: number) =>
  toC + (fromC - toC) * Math.exp(-s / tauS);

it.each([10, 30, 50])(
  'the gas in a manifold that cools from 350 C to its room with %i minutes falls as around hot metal, all the way to 150 C',
  (minutes) => {
    const untilS = minutes * 60 * Math.log(305 / 105);
    expect(falls(cooling(350, 45, minutes * 60), untilS)).not.toContain(false);
  },
);

it('the gas of an engine that goes on at light load, 240 C, does not for long after 350 C: it settles to its load', () => {
  const settling = falls(cooling(350, 240, 100), 1800);
  // 16 s of memory apart, the gas has to fall by 180 K in 3600 s: by Newton's law until 110 / 100 exp(-s / 100) = 180 / 3600, 309 s.
  expect(settling.lastIndexOf(true) + 180).toBeGreaterThan(300);
  expect(settling.lastIndexOf(true) + 180).toBeLessThan(340);
});

it('gas that stays as it is does not', () => {
  expect(falls(() => 300, 400)).not.toContain(true);
});
