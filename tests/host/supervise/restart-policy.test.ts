import { describe, expect, it } from 'vitest';
import { afterEnd, freshRestartState, type RestartState } from '../../../host/supervise/restart-policy.js';

const up: RestartState = { ...freshRestartState, everReady: true };
const shortRun = { exitCode: null, ranMs: 1_000 };

const waitsOf = (from: RestartState, exitCode: number | null, ends: number) => {
  let state = from;
  return Array.from({ length: ends }, () => {
    const decision = afterEnd(state, { exitCode, ranMs: 1_000 }, false);
    if (decision.kind !== 'restart') throw new Error(decision.why);
    state = decision.state;
    return decision.afterMs;
  });
};

describe('when a process that watches the engines ends', () => {
  it('the first end after it was up starts it again at once', () => {
    expect(afterEnd(up, { exitCode: 1, ranMs: 1_000 }, false)).toMatchObject({ kind: 'restart', afterMs: 0 });
  });

  it('ends in a row wait 0, 0.5, 1, 2, 5, 10 and then always 30 s', () => {
    expect(waitsOf(up, null, 9)).toEqual([0, 500, 1_000, 2_000, 5_000, 10_000, 30_000, 30_000, 30_000]);
  });

  it('after a run of a minute it is started again at once, whatever was before', () => {
    const tired = { everReady: true, endsInARow: 7 };
    expect(afterEnd(tired, { exitCode: 1, ranMs: 60_000 }, false)).toMatchObject({ afterMs: 0 });
    expect(afterEnd(tired, { exitCode: 1, ranMs: 59_999 }, false)).toMatchObject({ afterMs: 30_000 });
  });

  it.each([
    ['never came up', freshRestartState, 3],
    ['was killed before it came up', freshRestartState, null],
    ['was given bad options at the start', freshRestartState, 2],
    ['was given bad options after it was up', up, 2],
  ] as const)('one that %s is tried again for ever with growing waits, saying why', (_, from, code) => {
    expect(waitsOf(from, code, 1_000).slice(0, 6)).toEqual([1_000, 2_000, 5_000, 10_000, 30_000, 30_000]);
    expect(afterEnd(from, { exitCode: code, ranMs: 0 }, false)).toMatchObject({
      needsRepair: expect.stringMatching(/never came up|cannot be used/),
    });
  });

  it('on the bench one that cannot come up ends the whole', () => {
    expect(afterEnd(freshRestartState, shortRun, true).kind).toBe('end-all');
    expect(afterEnd(up, { exitCode: 2, ranMs: 90_000 }, true).kind).toBe('end-all');
    expect(afterEnd(up, shortRun, true).kind).toBe('restart');
  });
});
