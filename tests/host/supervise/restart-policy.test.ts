import { describe, expect, it } from 'vitest';
import { afterEnd, freshRestartState, type RestartState } from '../../../host/supervise/restart-policy.js';

const up: RestartState = { ...freshRestartState, everReady: true };

describe('when a process that watches the engines ends', () => {
  it('the first end after it was up starts it again at once', () => {
    expect(afterEnd(up, 1, 10_000)).toMatchObject({ kind: 'restart', afterMs: 0 });
  });

  it('ends in a row wait 0, 0.5, 1, 2 and then always 5 s', () => {
    let state = up;
    const waits: number[] = [];
    for (let i = 0; i < 8; i++) {
      const decision = afterEnd(state, null, 10_000 + i * 1000);
      if (decision.kind !== 'restart') throw new Error(decision.why);
      waits.push(decision.afterMs);
      state = decision.state;
    }
    expect(waits).toEqual([0, 500, 1000, 2000, 5000, 5000, 5000, 5000]);
  });

  it('ends more than a minute apart each start it again at once', () => {
    const first = afterEnd(up, 1, 0);
    if (first.kind !== 'restart') throw new Error(first.why);
    expect(afterEnd(first.state, 1, 60_001)).toMatchObject({ kind: 'restart', afterMs: 0 });
  });

  it('one that never came up is given up', () => {
    expect(afterEnd(freshRestartState, 3, 0).kind).toBe('give-up');
  });

  it('one that was asked wrongly is given up even after it was up', () => {
    expect(afterEnd(up, 2, 0).kind).toBe('give-up');
  });
});
