import { describe, expect, it } from 'vitest';
import type { ExhaustMemory } from '../../../node/guard/exhaust-memory.js';
import { stepExhaustMemory } from '../../../node/guard/exhaust-memory.js';
import { firstRunState, stepRunning } from '../../../node/guard/running.js';

describe('heat soak that comes late', () => {
  /** A stop from load; the elbow begins to warm only after seven minutes, by 0.03 K/s from 35 to 62 C. */
  const stoppedElbow = (gasAt: (t: number) => number) => {
    let state = firstRunState;
    let exhaust: ExhaustMemory | undefined;
    let doubted = false;
    for (let s = 1; s <= 2400; s++) {
      const t = s - 100;
      exhaust = stepExhaustMemory(exhaust, t <= 0 ? 330 : gasAt(t), 1);
      const warmed = Math.min(27, Math.max(0, t - 420) * 0.03);
      const elbow = { elbowC: 35 + warmed, slopeCPerS: warmed > 0 && warmed < 27 ? 0.03 : 0, limitC: 50 };
      state = stepRunning(state, { wired: true, input: s <= 100, exhaust, elbow, dtS: 1 });
      doubted ||= state.disagreement !== undefined;
    }
    return doubted;
  };

  it('is heat soak while the gas falls as metal that cools in 45 minutes does', () => {
    expect(stoppedElbow((t) => 30 + 270 * Math.exp(-t / 2700))).toBe(false);
  });

  it('is no heat soak where the gas stays: the wire of the input broke under way', () => {
    expect(stoppedElbow(() => 330)).toBe(true);
  });
});
