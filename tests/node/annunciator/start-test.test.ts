import { expect, test } from 'vitest';
import { StartTest } from '../../../node/annunciator/start-test.js';
import type { Running } from '../../../node/sense/senses.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

/** Seconds of held beats, given pass by pass, ten a second. */
const heldS = (
  test: StartTest,
  fromS: number,
  toS: number,
  running: (s: number) => Running,
  alertSounds: (s: number) => boolean = () => false,
): number => {
  let held = 0;
  for (let pass = fromS * 10; pass < toS * 10; pass++)
    if (test.holds(running(pass / 10), asMonotonicMs(pass * 100), alertSounds(pass / 10))) held++;
  return held / 10;
};
const both = (port: boolean, starboard: boolean): Running => ({ port, starboard });

test('holds the heartbeat for 5 s as an engine starts: longer than the slowest missing-pulse circuit takes', () => {
  expect(heldS(new StartTest(), 0, 100, (s) => both(s >= 20, false))).toBe(5);
});

test('the second engine, started a little later, makes no second chirp; one started much later does', () => {
  expect(heldS(new StartTest(), 0, 200, (s) => both(s >= 20, s >= 40))).toBe(5);
  expect(heldS(new StartTest(), 0, 200, (s) => both(s >= 20, s >= 90))).toBe(10);
});

test('an input that chatters holds the heartbeat once a minute at most', () => {
  expect(heldS(new StartTest(), 0, 120, (s) => both(Math.floor(s) % 2 === 1, false))).toBeLessThanOrEqual(10);
});

test('an engine that already ran when the node came, or whose input says nothing, is no start', () => {
  expect(heldS(new StartTest(), 0, 60, () => both(true, true))).toBe(0);
  expect(heldS(new StartTest(), 0, 60, () => ({}))).toBe(0);
  expect(heldS(new StartTest(), 0, 60, (s) => (s < 20 ? {} : { port: true }))).toBe(0);
});

test('an engine that started while its board was disconnected is a start', () => {
  const running = (s: number): Running => {
    if (s < 10) return both(false, false);
    return s < 20 ? {} : both(true, false);
  };
  expect(heldS(new StartTest(), 0, 60, running)).toBe(5);
});

test('an alert that sounds comes first: it begins no test, and ends one', () => {
  const starts = (s: number) => both(s >= 20, false);
  expect(heldS(new StartTest(), 0, 60, starts, () => true)).toBe(0);
  expect(heldS(new StartTest(), 0, 60, starts, (s) => s >= 22)).toBe(2);
});
