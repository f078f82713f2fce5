import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { PinAudit } from '../../../node/board/pin-audit.js';
import type { OrderedPin } from '../../../node/board/pins.js';

/** Firmata protocol 2: pin state query F0 6D pin F7; modes 0 input, 1 output. */
const query = (pin: number) => [0xf0, 0x6d, pin, 0xf7];
const [input, output] = [0, 1];

let audit: PinAudit | undefined;
beforeEach(() => {
  vi.useFakeTimers({ now: 0, toFake: ['setInterval', 'clearInterval', 'Date'] });
});
afterEach(() => {
  audit?.stop();
  vi.useRealTimers();
});

const auditing = (...ordered: OrderedPin[]) => {
  const asked: (readonly number[])[] = [];
  let setUps = 0;
  const made = new PinAudit({
    ordered: () => ordered,
    ask: (bytes) => asked.push(bytes),
    setUpAgain: () => {
      setUps += 1;
    },
    nowMs: () => Date.now(),
  });
  audit = made;
  made.setRunning(true);
  const says = (pin: number, mode: number, state: number) =>
    made.take({ kind: 'pin-state', pin, mode, state, bytes: [] } as unknown as Parameters<
      PinAudit['take']
    >[0]);
  return { audit: made, ordered, asked, says, setUps: () => setUps };
};
const buzzer = { pin: 8, mode: output, high: true };
const running = { pin: 2, mode: input, high: undefined };

describe('the audit of the pins', () => {
  it('asks one pin after another, ten times a second, each when the one before has answered', () => {
    const { asked, says } = auditing(buzzer, running);
    for (let turn = 0; turn < 4; turn++) {
      vi.advanceTimersByTime(100);
      if (turn % 2 === 0) says(8, output, 1);
      else says(2, input, 0);
    }
    expect(asked).toEqual([query(8), query(2), query(8), query(2)]);
  });

  it('asks nothing before the board runs, nor after it is gone', () => {
    const { audit, asked } = auditing(buzzer);
    audit.setRunning(false);
    vi.advanceTimersByTime(1_000);
    expect(asked).toEqual([]);
    expect(audit.askedPin).toBeUndefined();
  });

  it('an answer that was lost on the way holds it up for 0.7 s and no longer', () => {
    const { asked } = auditing(buzzer, running);
    vi.advanceTimersByTime(750);
    expect(asked).toEqual([query(8)]);
    vi.advanceTimersByTime(100);
    expect(asked).toEqual([query(8), query(2)]);
  });

  it('a board without pins in use is asked all the same, so that silence means that it is gone', () => {
    const { asked } = auditing();
    vi.advanceTimersByTime(100);
    expect(asked).toHaveLength(1);
  });

  it.each([
    ['as ordered', output, 1, 0],
    ['as ordered, in words of more than one bit', output, 0x40, 0],
    ['the wrong level', output, 0, 1],
    ['the wrong mode', input, 1, 1],
  ] as const)('an output that is %s', (_, mode, state, setUpsExpected) => {
    const { audit, says, setUps } = auditing(buzzer);
    vi.advanceTimersByTime(100);
    says(8, mode, state);
    expect(setUps()).toBe(setUpsExpected);
    expect(audit.repaired).toBe(setUpsExpected);
  });

  it('of an input only the mode is held against the order: its level is the world’s', () => {
    const { says, setUps } = auditing(running);
    for (const state of [0, 1]) {
      vi.advanceTimersByTime(100);
      says(2, input, state);
    }
    expect(setUps()).toBe(0);
  });

  it('an order that changed while the question was under way is not taken for a fault', () => {
    const { ordered, says, setUps } = auditing(buzzer);
    vi.advanceTimersByTime(100);
    ordered[0] = { ...buzzer, high: false };
    says(8, output, 0);
    expect(setUps()).toBe(0);
  });

  it('says for how long a pin has not been confirmed, from the connection on, and nothing while the board is disconnected', () => {
    const { audit, says } = auditing(buzzer);
    vi.advanceTimersByTime(100);
    expect(audit.unconfirmedMs(8)).toBe(100);
    says(8, output, 1);
    vi.advanceTimersByTime(50);
    expect(audit.unconfirmedMs(8)).toBe(50);
    says(8, output, 0);
    vi.advanceTimersByTime(200);
    expect(audit.unconfirmedMs(8)).toBeGreaterThanOrEqual(250);
    audit.setRunning(false);
    expect(audit.unconfirmedMs(8)).toBeUndefined();
    vi.advanceTimersByTime(1_000);
    audit.setRunning(true);
    vi.advanceTimersByTime(50);
    expect(audit.unconfirmedMs(8)).toBe(50);
  });
});
