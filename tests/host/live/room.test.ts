import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { riseCPerS, roomOf } from '../../../host/live/room.js';

const limits = {
  warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 },
  alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 },
};
const elbow = { limits, place: 'wet-elbow' };
const line = (fromC: number, perS: number, seconds: number) =>
  Array.from({ length: seconds + 1 }, (_, s) => ({ at: s * 1000, temperatureC: fromC + perS * s }));

describe('room', () => {
  it.each([
    [41, 34],
    [67.5, 7.5],
    [68, 7],
    [75, 0],
    [80, -5],
  ] as const)(
    'at %d C is %d C below the alarm limit of 75 C, before and after the warning',
    (temperatureC, roomC) => {
      expect(roomOf(elbow, temperatureC, 0)).toMatchObject({ roomC, to: 'alarm', limitC: 75 });
    },
  );

  it('is counted to the warning where a probe has no alarm limit', () => {
    const gas = { limits: { warning: limits.warning }, place: 'dry-exhaust' };
    expect(roomOf(gas, 60, 0)).toMatchObject({ roomC: 8, to: 'warning', limitC: 68 });
  });

  it('35 C below and rising 0.5 C a second, 70 s are left', () => {
    expect(roomOf(elbow, 40, 0.5)?.roomS).toBeCloseTo(70, 9);
  });

  it('steady, cooling or slower than steady, no seconds are promised', () => {
    for (const rise of [undefined, 0, -1, 0.05]) expect(roomOf(elbow, 40, rise)).not.toHaveProperty('roomS');
  });

  it('further ahead than 15 minutes nothing is promised', () => {
    expect(roomOf(elbow, 8, 0.0501)).not.toHaveProperty('roomS');
  });

  it('exhaust gas wanders: 0.2 C a second is steady there and not at the elbow', () => {
    const gas = { limits, place: 'dry-exhaust' };
    expect([roomOf(gas, 60, 0.2)?.roomS, roomOf(elbow, 60, 0.2)?.roomS]).toEqual([undefined, 75]);
  });

  it('a probe without limits has no room', () => {
    expect(roomOf({ limits: {}, place: 'sea-water' }, 15, 1)).toBeUndefined();
  });
});

describe('the present rate', () => {
  it('of a straight line is its slope, whatever came before the last 15 s', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 90, noNaN: true }),
        (perS, fromC) => {
          const before = [{ at: -60_000, temperatureC: 500 }];
          const rise = riseCPerS([...before, ...line(fromC, perS, 20)], 20_000) as number;
          expect(Math.abs(rise - perS)).toBeLessThan(1e-6);
        },
      ),
    );
  });

  it('is not known from four readings, nor from readings without a temperature', () => {
    expect(riseCPerS(line(40, 1, 3), 3_000)).toBeUndefined();
    expect(
      riseCPerS(
        line(40, 1, 20).map(({ at }) => ({ at })),
        20_000,
      ),
    ).toBeUndefined();
  });
});
