import { expect, test } from 'vitest';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { WallTimes } from '../../../node/time/wall-times.js';

const hourMs = 3_600_000;
const rig = () => {
  const now = { monotonic: 5_000, wall: 1_000_000_000 };
  const wall = new WallTimes({
    monotonicMs: () => asMonotonicMs(now.monotonic),
    wallMs: () => asWallMs(now.wall),
  });
  const pass = (ms: number, wallMs = ms) => {
    now.monotonic += ms;
    now.wall += wallMs;
    return wall.look();
  };
  return { wall, pass };
};

test('puts the wall time on an instant, to the whole millisecond', () => {
  const { wall } = rig();
  expect(wall.at(asMonotonicMs(4_999.7))).toBe(1_000_000_000);
});

test.each([
  ['back one hour', -hourMs],
  ['ahead one day', 24 * hourMs],
])('a step %s is found once, summed, and followed', (_, stepMs) => {
  const { wall, pass } = rig();
  expect(pass(100)).toBeUndefined();
  expect(pass(100, 100 + stepMs)).toBe(stepMs);
  expect(pass(100)).toBeUndefined();
  expect(wall.steppedMs).toBe(stepMs);
  expect(wall.at(asMonotonicMs(5_300))).toBe(1_000_000_300 + stepMs);
});

test('an instant keeps its wall time to the millisecond while the difference of the clocks only trembles', () => {
  const { wall, pass } = rig();
  const shown = wall.at(asMonotonicMs(5_050.5));
  for (const trembleMs of [0.7, -0.9, 12, -11.8, 0.4, -0.4]) {
    pass(100, 100 + trembleMs);
    expect(wall.at(asMonotonicMs(5_050.5))).toBe(shown);
  }
});

test('a clock that is steered by half a second a minute is followed and no step is reported', () => {
  const { wall, pass } = rig();
  for (let minute = 0; minute < 60; minute++) expect(pass(60_000, 60_500)).toBeUndefined();
  expect(wall.steppedMs).toBe(0);
  expect(wall.at(asMonotonicMs(5_000 + hourMs))).toBe(1_000_000_000 + hourMs + 30_000);
});
