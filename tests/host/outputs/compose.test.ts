import { describe, expect, it } from 'vitest';
import { composeChanges, composeSignOfLife, type Scene } from '../../../host/outputs/messages/compose.js';
import { signOfLifeDue } from '../../../host/outputs/messages/sign-of-life.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { alert, change, t0 } from './made-alerts.js';

describe('the words', () => {
  const scene: Scene = {
    boat: 'Marsh Harrier',
    invented: true,
    nowMs: t0,
    degrees: degreesIn('celsius'),
    active: [alert()],
    readings: [
      {
        node: 'n',
        probe: 'port-elbow',
        name: 'Port wet elbow',
        quality: 'good',
        temperatureC: 76.24,
        minC: 18,
        maxC: 76.3,
      },
      { node: 'n', probe: 'sea', name: 'Sea water', quality: 'open' },
    ],
    givenUp: 2,
  };

  it('name the most severe in the subject and everything in the text', () => {
    const message = composeChanges(
      scene,
      [change({ id: 'c', priority: 'caution', message: 'Sea probe open' }), change()],
      0,
      'id',
    );
    expect(message.subject).toBe('Marsh Harrier (invented): ALARM: Port wet elbow above 75 C and 1 more');
    for (const part of [
      'CAUTION: Sea probe open',
      '1. Throttle to idle.',
      'Port wet elbow: 76.2 C   18.0 to 76.3 C',
      'Sea water: no reading (open)',
      '2 earlier message(s) could not be delivered',
      'This boat is invented',
      'the buzzer aboard does not depend on it',
    ])
      expect(message.text).toContain(part);
  });

  it('are in Fahrenheit for who chose it, and the numbers beside them stay Celsius', () => {
    const evidence = { values: {}, thresholds: {}, roomC: 10 };
    const message = composeChanges(
      { ...scene, degrees: degreesIn('fahrenheit') },
      [change({ evidence })],
      0,
      'id',
    );
    expect(message.subject).toContain('above 167 F');
    expect(message.text).toContain('room left: 18.0 F');
    expect(message.text).toContain('Port wet elbow: 169.2 F   64.4 to 169.3 F');
    expect(message.text).not.toMatch(/\d C\b/);
    expect(message.readings[0]).toMatchObject({ temperatureC: 76.24, minC: 18 });
  });

  it('give a pressure and a speed in their own units, and not as readings that are missing', () => {
    const at = { node: 'n', quality: 'good' };
    const readings = [
      { ...at, probe: 'port-pump', name: 'Port pump', pressureKpa: 41.6 },
      { ...at, probe: 'port-speed', name: 'Port speed', speedRpm: 2201.7 },
    ];
    const { text } = composeSignOfLife({ ...scene, readings }, '08:00', 'id');
    expect(text).toContain('  Port pump: 42 kPa\n  Port speed: 2202 rpm\n');
  });

  it('cannot be made to break a mail header', () => {
    const message = composeChanges(scene, [change({ message: 'hot\r\nBcc: somebody@example.org' })], 0, 'id');
    expect(message.subject).not.toMatch(/[\r\n]/);
  });

  it('of a sign of life are never "all quiet" while a probe does not read, or none sends', () => {
    const quiet = { ...scene, active: [], invented: false };
    const subject = (now: Scene) => composeSignOfLife(now, '08:00', 'id').subject;
    expect(subject(quiet)).toBe('Marsh Harrier: no alert, but 1 of 2 probes do not read');
    expect(subject({ ...quiet, readings: [] })).toBe('Marsh Harrier: no readings from the probes');
    expect(subject({ ...quiet, active: [alert()] })).toBe('Marsh Harrier: 1 active alert(s)');
  });

  it('of a sign of life say when the next one comes and what its absence means', () => {
    const well = { ...scene, active: [], readings: scene.readings.slice(0, 1), invented: false };
    const message = composeSignOfLife(well, '08:00', 'id');
    expect(message.subject).toBe('Marsh Harrier: all quiet');
    expect(message.text).toMatch(/tomorrow at 08:00.*If it does not come/s);
  });
});

describe('the sign of life', () => {
  const at = (day: string, time: string) => {
    const [hours = 0, minutes = 0] = time.split(':').map(Number);
    return { day, minuteOfDay: hours * 60 + minutes };
  };
  it.each([
    ['the very first one, at once', at('2026-07-01', '03:00'), undefined, true],
    ['the day after, a minute early', at('2026-07-02', '07:59'), '2026-07-01', false],
    ['the day after, on time', at('2026-07-02', '08:00'), '2026-07-01', true],
    ['the day after, late, the computer was off', at('2026-07-02', '23:10'), '2026-07-01', true],
    ['twice on one day', at('2026-07-02', '09:00'), '2026-07-02', false],
    ['three days on, before the hour', at('2026-07-05', '02:00'), '2026-07-02', true],
    ['over the end of a month', at('2026-08-01', '08:00'), '2026-07-31', true],
  ])('%s', (_what, now, last, due) => {
    expect(signOfLifeDue(now, '08:00', last)).toBe(due);
  });

  it('never comes when it is off', () => {
    expect(signOfLifeDue(at('2026-07-02', '08:00'), 'off', undefined)).toBe(false);
  });
});
