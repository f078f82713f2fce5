import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { momentOf } from '../../../host/cli/moment-option.js';
import { chosenDegrees } from '../../../host/settings/chosen-degrees.js';
import { keepDegrees } from '../../../host/settings/keep-degrees.js';
import { readHostSettings } from '../../../host/settings/read-settings.js';
import { degreesIn, pointText, readableIn, signedSpanText, spanText } from '../../../host/wording/degrees.js';
import { evidenceIn } from '../../../host/wording/evidence.js';
import { localStamp } from '../../../host/wording/moments.js';

const f = degreesIn('fahrenheit');
const c = degreesIn('celsius');

describe('degrees', () => {
  // The definition of the scale: ice 32 F, steam 212 F, the two scales meet at -40, absolute zero -459.67 F.
  it.each([
    [0, 32],
    [100, 212],
    [-40, -40],
    [-273.15, -459.67],
  ])('%d C is %d F, and back', (pointC, pointF) => {
    expect(f.point(pointC)).toBeCloseTo(pointF, 9);
    expect(f.pointC(pointF)).toBeCloseTo(pointC, 9);
  });

  it('10 C of room are 18 F: a distance has no offset', () => {
    expect([f.span(10), f.spanC(18)]).toEqual([18, 10]);
    expect([spanText(f, 0.4, 2), signedSpanText(f, 0.1), signedSpanText(f, -0.1)]).toEqual([
      '0.72 F',
      '+0.18 F',
      '-0.18 F',
    ]);
  });

  it('the distance of two points is the span of their distance, whatever they are', () => {
    const point = fc.double({ min: -300, max: 2000, noNaN: true });
    fc.assert(fc.property(point, point, (a, b) => Math.abs(f.point(a) - f.point(b) - f.span(a - b)) < 1e-9));
  });

  it('nothing is minus zero', () => {
    expect([pointText(c, -0.01), spanText(f, -0.001), pointText(f, -17.78, 0)]).toEqual([
      '0.0 C',
      '0.0 F',
      '0 F',
    ]);
  });

  it('sentences keep their decimals, points and distances apart', () => {
    const said =
      'Port elbow is at 84.2 C, 20.1 K above the sea; the converter adds 0.15 K, the limit is 82 C.';
    expect(readableIn(f, 'F', said)).toBe(
      'Port elbow is at 183.6 F, 36.2 F above the sea; the converter adds 0.27 F, the limit is 180 F.',
    );
    expect(readableIn(c, '°C', said)).toContain('84.2 °C, 20.1 °C above');
    // A range has its unit once, at its end; what only looks like one is left alone.
    expect(readableIn(f, 'F', 'no sane temperature (-60 to 200 C), 9 to 15 K off')).toBe(
      'no sane temperature (-76 to 392 F), 16 to 27 F off',
    );
    expect(readableIn(f, 'F', 'from A0 to 20 C at 10:30 to 20 C')).toBe('from A0 to 68 F at 10:30 to 68 F');
  });

  it.each([
    ['temperatureC', 80, ['temperature', '176.0 F']],
    ['riseOverSeaK', 20, ['rise over sea', '36.0 F']],
    ['roomC', 10, ['room', '18.0 F']],
    ['riseCPerS', 0.5, ['rise', '0.90 F a second']],
    ['sumKS', 40, ['sum', '72 F seconds']],
    ['secondsToLimit', 17.154, ['seconds to limit', '17.15']],
    ['holdS', 2, ['hold', '2 s']],
    ['effectiveness', 0.91234, ['effectiveness', '0.9123']],
  ])('%s of an alert is reported with its unit', (name, value, shown) => {
    expect(evidenceIn(f, 'F', name, value)).toEqual(shown);
  });
});

describe('the choice', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-degrees-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it('is the option for once, then the shell, then host.yaml, then Celsius', () => {
    const dataDir = join(folder, 'host');
    const scale = (degrees?: string, shell?: string) =>
      chosenDegrees({ degrees, dataDir }, { ELBOWROOM_DEGREES: shell }).scale;
    expect(scale()).toBe('celsius');
    keepDegrees(dataDir, 'fahrenheit');
    expect([scale(), scale(undefined, 'Celsius'), scale('celsius', 'fahrenheit')]).toEqual([
      'fahrenheit',
      'celsius',
      'celsius',
    ]);
    expect(() => scale(undefined, 'kelvin')).toThrow(/ELBOWROOM_DEGREES is "kelvin"\. Set it to/);
  });

  it('is kept without touching the rest of host.yaml, its comments too', () => {
    const path = join(folder, 'host.yaml');
    writeFileSync(path, 'settings: 1 # ours\nnmea:\n  udp: [{ to: 192.168.4.255:10110, broadcast: true }]\n');
    keepDegrees(folder, 'fahrenheit');
    keepDegrees(folder, 'celsius');
    expect(readHostSettings(folder)).toMatchObject({ degrees: 'celsius', nmea: { everyS: 2 } });
    expect(readFileSync(path, 'utf8')).toContain('settings: 1 # ours');
  });

  it('is not written into a host.yaml that the host would refuse', () => {
    writeFileSync(join(folder, 'host.yaml'), 'settings: 1\nmine: yes\n');
    expect(() => keepDegrees(folder, 'fahrenheit')).toThrow(/line 2/);
    expect(readFileSync(join(folder, 'host.yaml'), 'utf8')).toBe('settings: 1\nmine: yes\n');
  });

  it('a host.yaml that names other degrees is refused with its line, and a terminal reads Celsius meanwhile', () => {
    mkdirSync(join(folder, 'host'));
    writeFileSync(join(folder, 'host', 'host.yaml'), 'settings: 1\ndegrees: kelvin\n');
    expect(() => readHostSettings(join(folder, 'host'))).toThrow(/line 2.*degrees/s);
    expect(chosenDegrees({ dataDir: join(folder, 'host') }, {}).scale).toBe('celsius');
  });
});

describe('a moment given to an option', () => {
  it.each([
    ['2026-05-01', new Date(2026, 4, 1)],
    ['2026-05-01T08:30', new Date(2026, 4, 1, 8, 30)],
    ['2026-05-01 08:30:10', new Date(2026, 4, 1, 8, 30, 10)],
    ['2026-05-01T08:30:00Z', new Date(Date.UTC(2026, 4, 1, 8, 30))],
    ['2026-05-01T08:30:00+02:00', new Date(Date.UTC(2026, 4, 1, 6, 30))],
  ])('%s is read as a person at this computer means it', (text, expected) => {
    expect(momentOf('from', text, 0)).toBe(expected.getTime());
  });

  it('what is printed can be given back', () => {
    const at = Date.UTC(2026, 10, 25, 10, 31, 7);
    expect(momentOf('from', localStamp(at), 0)).toBe(at);
  });

  it.each(['yesterday', '2026-13-01', '2026-05-01T99:00', '1767225600'])('%s is refused', (text) => {
    expect(() => momentOf('from', text, 0)).toThrow(`--from ${text} is not a valid time`);
  });
});
