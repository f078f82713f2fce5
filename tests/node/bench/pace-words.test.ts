import { expect, it } from 'vitest';
import { paceWords } from '../../../node/bench/board/pace-words.js';

it('says at once that the computer is too slow and by how much, again after a minute, and once when it is over', () => {
  const words = paceWords();
  /** What was said at each look, five seconds apart, when a share of the speed was kept. */
  let [behindS, atS] = [0, 100];
  const keeping = (share: number, looks: number): readonly string[] =>
    Array.from({ length: looks }, () => {
      atS += 5;
      behindS += 5 * (1 - share);
      return words(behindS, atS) ?? '';
    });
  expect(keeping(1, 3)).toEqual(['', '', '']);
  expect(keeping(0.85, 2)).toEqual(['', '']);
  const slow = keeping(0.4, 14);
  expect(slow[0]).toMatch(/TOO SLOW .* 40 % of its speed/);
  expect(slow.map((said) => said !== '')).toEqual([true, ...Array(11).fill(false), true, false]);
  expect(keeping(0.95, 3)).toEqual(['The emulated board keeps up again.', '', '']);
  expect(keeping(0.4, 1)[0]).toMatch(/TOO SLOW/);
});
