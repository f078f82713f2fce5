import { afterEach, describe, expect, it } from 'vitest';
import { wantedSound } from '../../../host/page/alerts/sound.js';
import { lineCode } from '../../../host/page/chart/line-code.js';
import { isInThisKit } from '../../../host/page/link/engines.js';
import { placeOf } from '../../../host/page/link/place-of.js';
import { now } from '../../../host/page/link/stream.js';
import { decimalOf } from '../../../host/page/look/decimal-field.js';
import { degreesText, spanDegrees, unit } from '../../../host/page/look/degrees.js';
import { spanText } from '../../../host/page/look/moments.js';
import { readable } from '../../../host/page/look/readable.js';
import { differenceText, loadOf } from '../../../host/page/now/compare.js';
import { guardedProbe, mostSevere } from '../../../host/page/now/room.js';
import { scaleToC } from '../../../host/page/now/scale.js';
import { usualSetpoints } from '../../../host/page/set-up/setpoints.js';
import type { AlertNow, Now, ProbeNow } from '../../../host/serve/now.js';
import { elbowLimits } from '../../../node/guard/settings-from-kit.js';

afterEach(() => {
  now.value = undefined;
  unit.value = 'C';
});

describe('two probes on one elbow', () => {
  const seen = (...mountings: readonly string[]) => {
    const probes = mountings.map((mounting, i) => ({
      id: `elbow-${i}`,
      node: 'fore',
      engine: 'main',
      place: 'wet-elbow',
      mounting,
    }));
    now.value = { engines: [{ id: 'main', name: 'Main' }], probes } as unknown as Now;
    return probes;
  };

  it('are distinguished by how they are mounted, or by number, and by the width of their lines', () => {
    expect(seen('well').map(placeOf)).toEqual(['Wet elbow']);
    expect(seen('well', 'strap-on').map(placeOf)).toEqual(['Wet elbow, well', 'Wet elbow, ring']);
    expect(seen('strap-on', 'strap-on').map(placeOf)).toEqual(['Wet elbow, 1', 'Wet elbow, 2']);
    expect(seen('well', 'well').map((probe) => lineCode(probe).width)).toEqual([2.5, 1.25]);
    // As the store calls them.
    expect(placeOf({ engine: 'main', place: 'wet-elbow', name: 'fore/elbow-1' })).toBe('Wet elbow, 2');
  });

  it('with two boards only the probes of this kit can be set up; a kit of another name has them all', () => {
    const probes = seen('well', 'well').map((probe, i) => ({ ...probe, node: i ? 'aft' : 'fore' }));
    const inKitOf = (kitNode?: string) => {
      now.value = {
        ...(now.value as Now),
        probes: probes as unknown as ProbeNow[],
        ...(kitNode && { kitNode }),
      };
      return probes.map(isInThisKit);
    };
    expect(inKitOf()).toEqual([true, true]);
    expect(inKitOf('fore')).toEqual([true, false]);
    expect(inKitOf('elsewhere')).toEqual([true, true]);
  });
});

describe('degrees for a reader', () => {
  it('100 C is 212 F, and 10 C of room are 18 F: a distance has no offset', () => {
    unit.value = 'F';
    expect([degreesText(100, 0), spanDegrees(10)]).toEqual(['212 °F', '18']);
  });

  it('a small negative room is 0, not -0', () => {
    expect(spanDegrees(-0.2)).toBe('0');
  });

  it("the node's sentences are read out in the reader's unit, points and distances apart", () => {
    const said = 'Port wet elbow is hot: 84.2 C, 20.1 K above the sea; its limit is 82 C.';
    expect(readable(said)).toBe('Port wet elbow is hot: 84.2 °C, 20.1 °C above the sea; its limit is 82 °C.');
    unit.value = 'F';
    expect(readable(said)).toBe(
      'Port wet elbow is hot: 183.6 °F, 36.2 °F above the sea; its limit is 180 °F.',
    );
  });

  it.each([
    [48, '48 s'],
    [89, '89 s'],
    [200, '3 min 20 s'],
    [3_000, '50 min'],
    [7_500, '2 h 5 min'],
    [300_000, '3 d'],
  ])('%d s is shown as %s', (s, text) => {
    expect(spanText(s)).toBe(text);
  });
});

describe('which probe represents an engine', () => {
  const probe = (id: string, rest: Partial<ProbeNow>): ProbeNow => ({
    id,
    name: id,
    engine: 'port',
    place: 'wet-elbow',
    mounting: 'well',
    limits: {},
    node: 'n',
    quality: 'good',
    ...rest,
  });

  it('always its wet elbow, whatever the gas does; of two elbows the one nearer to its limit', () => {
    const limits = { alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 } };
    const gas = probe('gas', { place: 'dry-exhaust', limits, roomC: -3 });
    const elbow = probe('elbow', { limits, roomC: 30, roomS: 40 });
    expect(guardedProbe([gas, elbow])?.id).toBe('elbow');
    expect(guardedProbe([gas, elbow, probe('second', { limits, roomC: 20 })])?.id).toBe('second');
    expect(guardedProbe([gas])?.id).toBe('gas');
    expect(guardedProbe([probe('none', {})])).toBeUndefined();
  });

  it('its figure is red for an alarm of its own only', () => {
    const alert = (engine: string, priority: string) => ({ engine, priority }) as unknown as AlertNow;
    expect(mostSevere([alert('starboard', 'alarm'), alert('port', 'warning')], 'port')).toBe('warning');
    expect(mostSevere([alert('port', 'warning'), alert('port', 'alarm')], 'port')).toBe('alarm');
    expect(mostSevere([alert('port', 'caution')], 'port')).toBeUndefined();
  });

  it('probes of one kind share a scale, so that the hotter engine has the longer bar', () => {
    const limits = { alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 } };
    const both = [
      probe('a', { limits, temperatureC: 41 }),
      probe('b', { engine: 'starboard', temperatureC: 101 }),
    ];
    expect(scaleToC('wet-elbow', both)).toBeCloseTo(101 * 1.02, 6);
    expect(scaleToC('wet-elbow', both.slice(0, 1))).toBeCloseTo(75 * 1.06, 6);
  });

  const three = ['port', 'middle', 'starboard'].map((id) => ({ id, name: id, shortName: id }));
  const gas = (engine: string, temperatureC: number, riseCPerS = 0) =>
    probe(engine, { engine: engine as ProbeNow['engine'], place: 'dry-exhaust', temperatureC, riseCPerS });

  it('loads are equal within 20 C of steady exhaust gas on each, and not known without one', () => {
    const pair = three.filter(({ id }) => id !== 'middle');
    expect(loadOf([gas('port', 340), gas('starboard', 360)], pair)).toBe('equal');
    expect(loadOf([gas('port', 340), gas('starboard', 361)], pair)).toBe('unequal');
    expect(loadOf([gas('port', 340, 0.4), gas('starboard', 341)], pair)).toBe('changing');
    expect(loadOf([gas('port', 340)], pair)).toBe('unknown');
    expect(loadOf([gas('port', 340), gas('starboard', 345), gas('middle', 365)], three)).toBe('unequal');
  });

  it('of three engines the warmest is compared with the coolest', () => {
    const all = [gas('port', 340), gas('middle', 362), gas('starboard', 351)];
    expect(differenceText('dry-exhaust', all, three)).toBe('middle 22 °C warmer than port');
    expect(differenceText('dry-exhaust', all.slice(1), three)).toBe('not known');
  });
});

describe('which sound is wanted', () => {
  const alert = (priority: string, state: string, silencedUntil?: number) => ({
    priority,
    state,
    ...(silencedUntil !== undefined && { silencedUntil }),
  });
  it.each([
    [[], 'none'],
    [[alert('caution', 'unacknowledged')], 'none'],
    [[alert('warning', 'unacknowledged')], 'warning'],
    [[alert('warning', 'unacknowledged'), alert('alarm', 'unacknowledged')], 'alarm'],
    [[alert('alarm', 'acknowledged')], 'none'],
    [[alert('alarm', 'rectified')], 'none'],
    [[alert('alarm', 'unacknowledged', 2000)], 'none'],
    [[alert('alarm', 'unacknowledged', 1000)], 'alarm'],
  ] as const)('%j at 1000 ms: %s', (alerts, sound) => {
    expect(wantedSound(alerts, 1000)).toBe(sound);
  });
});

it('a typed number may have a comma; other text is no number', () => {
  expect(['68,5', ' 68.5 ', '−3', '-0,25', '75'].map(decimalOf)).toEqual([68.5, 68.5, -3, -0.25, 75]);
  expect(['', '-', '6 8', '1e3', '68,5,1', 'Infinity'].map(decimalOf)).toEqual(
    Array.from({ length: 6 }, () => undefined),
  );
});

it('set-up offers the very setpoints that the guard has for a wet elbow without its own', () => {
  for (const kind of ['warning', 'alarm'] as const) {
    const { raiseAtC, clearAtC, holdS } = usualSetpoints[kind];
    expect({ raiseAt: raiseAtC, clearAt: clearAtC, holdS }).toEqual(elbowLimits[kind]);
  }
});
