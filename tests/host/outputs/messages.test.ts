import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { degreesIn } from '../../../host/in-words/degrees.js';
import { alertChanges, nothingTold, silenceChanges } from '../../../host/outputs/messages/changes.js';
import { composeChanges, composeSignOfLife, type Scene } from '../../../host/outputs/messages/compose.js';
import type { Change } from '../../../host/outputs/messages/message.js';
import { addChanges, atRest, type Pace, release } from '../../../host/outputs/messages/pace.js';
import { signOfLifeDue } from '../../../host/outputs/messages/sign-of-life.js';
import type { AlertRow, Priority } from '../../../node/index.js';

const t0 = 1_700_000_000_000;
const alert = (over: Partial<AlertRow> = {}): AlertRow => ({
  id: 'cooling:port',
  rule: 'high-limit',
  priority: 'alarm',
  state: 'unacknowledged',
  engine: 'port',
  since: t0,
  message: 'Port wet elbow above 75 C',
  evidence: { values: { temperatureC: 76 }, thresholds: { raiseAtC: 75 }, roomC: -1 },
  actions: ['Throttle to idle.', 'Stop the engine when it is safe.'],
  ...over,
});
const change = (over: Partial<AlertRow> = {}, at = t0): Change => ({
  kind: 'raised',
  node: 'n',
  at,
  alert: alert(over),
});

describe('what is worth telling', () => {
  const take = (told: typeof nothingTold, alerts: AlertRow[], least: Priority = 'warning') =>
    alertChanges(told, { node: 'n', alerts, at: t0 }, least);
  const kinds = (changes: readonly Change[]) => changes.map((c) => c.kind);

  it('is a new alert, once, whatever the node repeats', () => {
    const first = take(nothingTold, [alert()]);
    expect(kinds(first.changes)).toEqual(['raised']);
    expect(take(first.told, [alert()]).changes).toEqual([]);
    expect(take(first.told, [alert({ state: 'acknowledged' })]).changes).toEqual([]);
  });

  it('is a warning that became an alarm, and not an alarm that became a warning', () => {
    const warned = take(nothingTold, [alert({ priority: 'warning' })]);
    expect(kinds(take(warned.told, [alert()]).changes)).toEqual(['worse']);
    const alarmed = take(nothingTold, [alert()]);
    expect(take(alarmed.told, [alert({ priority: 'warning' })]).changes).toEqual([]);
  });

  it('is another alarm of the same name that came while the host was away', () => {
    const first = take(nothingTold, [alert()]);
    const evidence = { values: { temperatureC: 75.4 }, thresholds: { raiseAtC: 75 }, roomC: -0.4 };
    const next = take(first.told, [alert({ since: t0 + 600_000, evidence })]);
    expect(kinds(next.changes)).toEqual(['raised']);
  });

  it('is not a caution that grows where only warnings are asked for', () => {
    const evidence = { values: { temperatureC: 60 }, thresholds: {} };
    const first = take(nothingTold, [alert({ priority: 'caution' })]);
    expect(take(first.told, [alert({ priority: 'caution', evidence })]).changes).toEqual([]);
  });

  it('names an ended alert as the node last had it, with how far it went', () => {
    const first = take(nothingTold, [alert()]);
    const message = 'Port wet elbow above 75 C. The highest was 113.0 C.';
    expect(take(first.told, [alert({ state: 'rectified', message })]).changes).toMatchObject([
      { kind: 'ended', alert: { message } },
    ]);
  });

  it.each([
    ['rectified', [alert({ state: 'rectified' })]],
    ['gone', []],
  ])('is the end of a told alert: %s', (_how, after) => {
    const first = take(nothingTold, [alert()]);
    const end = take(first.told, after);
    expect(kinds(end.changes)).toEqual(['ended']);
    expect(take(end.told, after).changes).toEqual([]);
    expect(kinds(take(end.told, [alert()]).changes)).toEqual(['raised']);
  });

  it.each([
    ['caution', 'warning', 0],
    ['caution', 'caution', 1],
    ['warning', 'alarm', 0],
    ['alarm', 'alarm', 1],
  ] as const)('a %s, when at least %s is asked for: %d message', (priority, least, count) => {
    expect(take(nothingTold, [alert({ priority })], least).changes.length).toBe(count);
  });

  it('is told for each node apart: another node’s list ends nothing', () => {
    const first = take(nothingTold, [alert()]);
    expect(alertChanges(first.told, { node: 'other', alerts: [], at: t0 }, 'warning').changes).toEqual([]);
  });
});

describe('a node that falls silent', () => {
  const at = (told: typeof nothingTold, lastHeardAt: number | undefined, nowMs: number) =>
    silenceChanges(
      told,
      [{ node: 'n', connected: false, ...(lastHeardAt === undefined ? {} : { lastHeardAt }) }],
      {
        nowMs,
        startedAtMs: t0,
        silentS: 300,
      },
    );

  it('is told after 300 s and not after 299, once, and again when it is back', () => {
    expect(at(nothingTold, t0, t0 + 299_000).changes).toEqual([]);
    const silent = at(nothingTold, t0, t0 + 301_000);
    expect(silent.changes).toMatchObject([{ kind: 'silent', lastHeardAt: t0 }]);
    expect(at(silent.told, t0, t0 + 900_000).changes).toEqual([]);
    expect(at(silent.told, t0 + 901_000, t0 + 902_000).changes).toMatchObject([{ kind: 'back' }]);
  });

  it('counts from the start of the host when it was never heard, or heard before', () => {
    expect(at(nothingTold, undefined, t0 + 299_000).changes).toEqual([]);
    expect(at(nothingTold, t0 - 9_000_000, t0 + 301_000).changes).toMatchObject([{ kind: 'silent' }]);
  });

  it('is not back just because the host was started again', () => {
    const silent = at(nothingTold, t0 - 9_000_000, t0 + 301_000);
    expect(at(silent.told, t0 - 9_000_000, t0 + 1_000).changes).toEqual([]);
  });
});

describe('the pace', () => {
  const settings = { gatherS: 5, mostPerHour: 12 };

  it('gathers changes for 5 s into one message', () => {
    let pace = addChanges(atRest, [change()], t0);
    pace = addChanges(pace, [change({ id: 'b' })], t0 + 4_000);
    expect(release(pace, t0 + 4_999, settings).send).toBeUndefined();
    expect(release(pace, t0 + 5_000, settings).send?.changes.length).toBe(2);
  });

  /** A season of chatter: what comes out in any hour, and whether all came out in the end. */
  const run = (arrivals: { at: number; priority: Priority }[], untilS: number) => {
    let pace: Pace = atRest;
    const sent: { at: number; changes: number; alarm: boolean }[] = [];
    for (let s = 0; s <= untilS; s += 5) {
      const now = t0 + s * 1000;
      const due = arrivals.filter((a) => a.at > s - 5 && a.at <= s);
      pace = addChanges(
        pace,
        due.map((a, i) => change({ id: `${s}-${i}`, priority: a.priority }, now)),
        now,
      );
      const out = release(pace, now, settings);
      pace = out.pace;
      if (out.send)
        sent.push({
          at: s,
          changes: out.send.changes.length + out.send.unlisted,
          alarm: out.send.changes.some((c) => 'alert' in c && c.alert.priority === 'alarm'),
        });
    }
    return { sent, waiting: pace.waiting.length };
  };

  it('never passes 12 messages in any hour and tells everything in the end, whatever arrives', () => {
    const arrival = fc.record({
      at: fc.integer({ min: 0, max: 7200 }),
      priority: fc.constantFrom('alarm', 'warning', 'caution') as fc.Arbitrary<Priority>,
    });
    fc.assert(
      fc.property(fc.array(arrival, { maxLength: 150 }), (arrivals) => {
        const { sent, waiting } = run(arrivals, 7200 + 3700);
        let worst = 0;
        for (const { at } of sent)
          worst = Math.max(worst, sent.filter((s) => s.at > at - 3600 && s.at <= at).length);
        expect(worst).toBeLessThanOrEqual(12);
        expect(waiting).toBe(0);
        expect(sent.reduce((sum, s) => sum + s.changes, 0)).toBe(arrivals.length);
      }),
      { numRuns: 40 },
    );
  });

  it('keeps a quarter of the hour for alarms: a chattering warning does not shut one out', () => {
    const chatter = Array.from({ length: 60 }, (_, i) => ({ at: 10 + i * 30, priority: 'warning' as const }));
    const { sent } = run([...chatter, { at: 1900, priority: 'alarm' }], 3000);
    expect(sent.filter((s) => !s.alarm).length).toBe(9);
    expect(sent.find((s) => s.alarm)?.at).toBeLessThanOrEqual(1910);
  });

  it('keeps at most 200 changes by name and counts the rest', () => {
    const pace = addChanges(
      atRest,
      Array.from({ length: 230 }, (_, i) => change({ id: String(i) })),
      t0,
    );
    expect(release(pace, t0 + 5_000, settings).send).toMatchObject({ unlisted: 30 });
    expect(pace.waiting.length).toBe(200);
  });

  it('is not blocked by a clock that was set back by a day', () => {
    let pace: Pace = { ...atRest, sentAt: Array.from({ length: 12 }, (_, i) => t0 + i) };
    pace = addChanges(pace, [change()], t0);
    expect(release(pace, t0 - 86_400_000, settings).send?.changes.length).toBe(1);
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

describe('the words', () => {
  const scene: Scene = {
    boat: 'Marsh Harrier',
    invented: true,
    nowMs: t0,
    degrees: degreesIn('celsius'),
    standing: [alert()],
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

  it('name the gravest in the subject and everything in the text', () => {
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

  it('cannot be made to break a mail header', () => {
    const message = composeChanges(scene, [change({ message: 'hot\r\nBcc: somebody@example.org' })], 0, 'id');
    expect(message.subject).not.toMatch(/[\r\n]/);
  });

  it('of a sign of life say when the next one comes and what its absence means', () => {
    const message = composeSignOfLife({ ...scene, standing: [], invented: false }, '08:00', 'id');
    expect(message.subject).toBe('Marsh Harrier: all quiet');
    expect(message.text).toMatch(/tomorrow at 08:00.*If it does not come/s);
  });
});
