import { describe, expect, it } from 'vitest';
import { doubtAboutPressure, inHectopascals } from '../../calibration/bath/pressure-check.js';
import {
  type Bath,
  boardDivider,
  boilingBath,
  compareBaths,
  iceBath,
  type Pressure,
  pressureTyped,
  referenceBath,
  type Session,
  standardPressureHectopascals,
  startSession,
  stepSession,
  thermistorOhms,
} from '../../calibration/index.js';
import { chance } from './coverage/chance.js';
import { nominalLaw } from './made-points.js';

const names = { barometer: 'Barometer', report: 'Report', altitude: 'the height' };

describe('a pressure as it was typed', () => {
  it('is questioned where it is another unit: 30.1, 29.92, 760, 101.3', () => {
    for (const [value, unit] of [
      [30.1, 'inHg'],
      [29.92, 'inHg'],
      [760, 'mmHg'],
      [745, 'mmHg'],
      [101.3, 'kPa'],
    ] as const)
      expect(doubtAboutPressure({ value }), `${value}`).toMatch(new RegExp(`looks like ${unit}`));
    for (const value of [950, 1009, 1013.25, 1040]) expect(doubtAboutPressure({ value })).toBeUndefined();
    expect(doubtAboutPressure({ value: 30.1, unit: 'inhg' })).toBeUndefined();
    // A lake at 2,300 m: 760 is hPa there, and the altitude says so.
    expect(doubtAboutPressure({ value: 760, altitudeM: 2_300 })).toBeUndefined();
    expect(doubtAboutPressure({ value: 760, unit: 'hpa' })).toBeUndefined();
  });

  it('in inches and millimetres of mercury is the same pressure (conventional: 1013.25 hPa are 760 mm)', () => {
    expect(inHectopascals(760, 'mmhg')).toBeCloseTo(1013.25, 3);
    expect(inHectopascals(29.9212598, 'inhg')).toBeCloseTo(1013.25, 3);
  });

  it('a sea-level value typed as that of the place is caught from 200 m up, and a good barometer is let through', () => {
    const { bell } = chance(5);
    const counted = { caughtHigh: 0, wronglyDoubted: 0, of: 0 };
    for (let i = 0; i < 1_000; i++) {
      const altitudeM = 200 + 200 * ((i % 10) / 10);
      const qnh = 1013 + 10 * bell();
      const station = standardPressureHectopascals(altitudeM) * (qnh / 1013.25);
      counted.of++;
      if (doubtAboutPressure({ value: qnh, altitudeM })) counted.caughtHigh++;
      if (doubtAboutPressure({ value: station, altitudeM })) counted.wronglyDoubted++;
    }
    expect(counted.caughtHigh / counted.of).toBeGreaterThan(0.9);
    expect(counted.wronglyDoubted / counted.of).toBeLessThan(0.1);
  });

  it('beside a weather report the barometer must agree with it, and is distinguished from one set to sea level', () => {
    expect(doubtAboutPressure({ value: 977.5, altitudeM: 300, qnhHectopascals: 1013.25 })).toBeUndefined();
    expect(doubtAboutPressure({ value: 1013, altitudeM: 300, qnhHectopascals: 1013.25 })).toMatch(
      /set to sea level: leave it out/,
    );
    expect(doubtAboutPressure({ value: 990, altitudeM: 300, qnhHectopascals: 1013.25 })).toMatch(
      /Check both/,
    );
  });
});

/** Probes of 2 % (one standard deviation) whose baths were off by so much, and one of which was off by itself. */
function sessionOf(
  seed: number,
  probes: number,
  off: { ice?: number; boiling?: number; first?: number },
): Session {
  const { bell } = chance(seed);
  const chain = boardDivider({ resistorOhms: 4_700, thermistorSide: 'low' });
  const input = { name: 'x', sensor: { kind: 'thermistor', law: nominalLaw }, chain } as const;
  const inputs = Object.fromEntries(Array.from({ length: probes }, (_, i) => [`p${i}`, input]));
  const share = Object.keys(inputs).map(() => 1 + 0.02 * bell());
  let session = startSession(inputs);
  const bathAndTruth: readonly (readonly [Bath, number])[] = [
    [iceBath(1), off.ice ?? 0.05],
    [boilingBath({ from: 'station', hectopascals: 1009, altitudeM: 0 }, 2), 99.86 + (off.boiling ?? 0)],
  ];
  for (const [bath, trueC] of bathAndTruth) {
    session = stepSession(session, { kind: 'begin', bath });
    for (let atS = 0; atS < 60; atS++)
      Object.keys(inputs).forEach((probe, i) => {
        const c = trueC + (i === 0 && bath.kind === 'boiling' ? (off.first ?? 0) : 0) + 0.03 * bell();
        const raw = thermistorOhms(nominalLaw, c) * (share[i] as number);
        session = stepSession(session, { kind: 'reading', probe, atS, signal: { raw, rawUnit: 'ohm' } });
      });
    session = stepSession(session, { kind: 'take', takenAt: '2026-01-01T00:00:00Z' });
  }
  return session;
}

describe('a barometer that may be set to sea level', () => {
  const doubtC = (pressure: Pressure): number =>
    Math.SQRT2 *
    (boilingBath(pressure).errors.find(({ key }) => key === 'sea-level')?.standardUncertaintyC ?? 0);

  it('is doubted by what that would cost: 0.3 C for each 100 m, 1 C where no altitude is given', () => {
    // 1 hPa per 8.3 m and 28 C per 1000 hPa near the sea (U.S. Standard Atmosphere 1976, IAPWS-IF97; by hand).
    expect(doubtC({ from: 'station', hectopascals: 1000, altitudeM: 100 })).toBeCloseTo(0.33, 1);
    expect(doubtC({ from: 'station', hectopascals: 1009 })).toBeCloseTo(1, 1);
    expect(doubtC({ from: 'station', hectopascals: 1009, altitudeM: 2 })).toBeLessThan(0.01);
  });

  it('is not where a weather report agrees with it, and neither are a report and an altitude alone', () => {
    const report = pressureTyped(
      { barometer: '977.5', report: '1013.25', altitudeM: 300 },
      names,
    ) as Pressure;
    expect(report).toMatchObject({ from: 'station', qnhHectopascals: 1013.25 });
    expect(doubtC(report)).toBe(0);
    expect(doubtC({ from: 'qnh', hectopascals: 1013, altitudeM: 300 })).toBe(0);
    expect(doubtC({ from: 'altitude', altitudeM: 300 })).toBe(0);
  });

  it('typed with its unit is the same place, in every field', () => {
    const inches = pressureTyped({ report: '30.10inHg', altitudeM: 3 }, names);
    expect(inches).toMatchObject({ from: 'qnh', altitudeM: 3 });
    // 30.10 inHg are 1019.30 hPa (conventional inch of mercury, 33.8639 hPa).
    expect(inches?.from === 'qnh' && inches.hectopascals).toBeCloseTo(1019.3, 1);
    expect(pressureTyped({ barometer: ' 757 mmHg ' }, names)).toMatchObject({ from: 'station' });
    expect(() => pressureTyped({ report: '30.1', altitudeM: 3 }, names)).toThrow(
      /Report: 30\.1 looks like inHg/,
    );
    expect(() => pressureTyped({ barometer: '1009', report: '1013' }, names)).toThrow(
      /give the height with it/,
    );
    expect(() => pressureTyped({ barometer: '1009,5' }, names)).toThrow(
      /Barometer: "1009,5" is not a number/,
    );
    expect(pressureTyped({}, names)).toBeUndefined();
  });
});

describe('baths compared across the probes in them', () => {
  it('says nothing of good baths, in 19 of 20 sessions or more', () => {
    const spoke = Array.from({ length: 60 }, (_, i) => compareBaths(sessionOf(i + 1, 6, {}))).filter(
      (found) => found.length > 0,
    );
    expect(spoke.length).toBeLessThanOrEqual(3);
  });

  it('names the one probe that differs', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const found = compareBaths(sessionOf(seed, 6, { first: -5 }));
      expect(found.map((f) => f.finding === 'bad-probe' && f.probe)).toContain('p0');
      expect(found.every((f) => f.finding === 'bad-probe' && f.probe === 'p0')).toBe(true);
    }
  });

  it('names the bath when all differ alike: 3 C at the boil with six probes', () => {
    let named = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const found = compareBaths(sessionOf(seed, 6, { boiling: -3 }));
      if (found.some((f) => f.finding === 'bad-bath')) named++;
      expect(found.some((f) => f.finding === 'bad-probe')).toBe(false);
    }
    expect(named).toBeGreaterThanOrEqual(16);
  });

  it('two baths beside one thermometer are two baths: two probes in both accuse none', () => {
    const chain = boardDivider({ resistorOhms: 4_700, thermistorSide: 'low' });
    const input = { name: 'x', sensor: { kind: 'thermistor', law: nominalLaw }, chain } as const;
    let session = startSession({ p0: input, p1: input });
    for (const [n, trueC] of [30, 80].entries()) {
      session = stepSession(session, { kind: 'begin', bath: referenceBath(trueC, 0.2, n + 1) });
      for (let atS = 0; atS < 60; atS++)
        ['p0', 'p1'].forEach((probe, i) => {
          // Only the first bath is off, by 6 C and for both alike.
          const c = trueC + (n === 0 ? 6 : 0) + 0.02 * ((atS * (i + 2)) % 3);
          const signal = { raw: thermistorOhms(nominalLaw, c), rawUnit: 'ohm' } as const;
          session = stepSession(session, { kind: 'reading', probe, atS, signal });
        });
      session = stepSession(session, { kind: 'take', takenAt: '2026-01-01T00:00:00Z' });
    }
    const found = compareBaths(session);
    expect(found.some((f) => f.finding === 'bad-probe')).toBe(false);
    for (const { words } of found) expect(words).toMatch(/^All 2 probes/);
    expect(found.length).toBeGreaterThan(0);
  });
});
