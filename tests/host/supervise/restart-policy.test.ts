import { describe, expect, it } from 'vitest';
import { afterEnd, freshRestartState, type RestartState } from '../../../host/supervise/restart-policy.js';

const up: RestartState = { ...freshRestartState, everReady: true };

describe('when a process that watches the engines ends', () => {
  it('the first end after it was up starts it again at once', () => {
    expect(afterEnd(up, 1, 10_000, true)).toMatchObject({ kind: 'restart', afterMs: 0 });
  });

  it('ends in a row wait 0, 0.5, 1, 2 and then always 5 s', () => {
    let state = up;
    const waits: number[] = [];
    for (let i = 0; i < 8; i++) {
      const decision = afterEnd(state, null, 10_000 + i * 1000, true);
      if (decision.kind !== 'restart') throw new Error(decision.why);
      waits.push(decision.afterMs);
      state = decision.state;
    }
    expect(waits).toEqual([0, 500, 1000, 2000, 5000, 5000, 5000, 5000]);
  });

  it('ends more than a minute apart each start it again at once', () => {
    const first = afterEnd(up, 1, 0, true);
    if (first.kind !== 'restart') throw new Error(first.why);
    expect(afterEnd(first.state, 1, 60_001, true)).toMatchObject({ kind: 'restart', afterMs: 0 });
  });

  it('a vital one that never came up is given up', () => {
    expect(afterEnd(freshRestartState, 3, 0, true).kind).toBe('give-up');
  });

  it('a vital one that was asked wrongly is given up even after it was up', () => {
    expect(afterEnd(up, 2, 0, true).kind).toBe('give-up');
  });

  it.each([
    ['never came up', freshRestartState, 3],
    ['was killed before it came up', freshRestartState, null],
    ['was asked wrongly at the start', freshRestartState, 2],
    ['was asked wrongly after it was up', up, 2],
  ] as const)(
    'one that is not vital and %s is tried again every 10 s for ever, saying why',
    (_, from, code) => {
      let state: RestartState = from;
      for (let i = 0; i < 100; i++) {
        const decision = afterEnd(state, code, i * 10_000, false);
        expect(decision).toMatchObject({
          kind: 'restart',
          afterMs: 10_000,
          needsMending: expect.stringMatching(/never came up|asked wrongly/),
        });
        if (decision.kind === 'restart') state = decision.state;
      }
    },
  );

  it('one that is not vital and was up comes back as fast as the guard', () => {
    expect(afterEnd(up, 3, 0, false)).toMatchObject({ kind: 'restart', afterMs: 0 });
  });
});
