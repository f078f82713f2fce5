import { expect, test } from 'vitest';
import type { Alert } from '../../../node/alerts/alert.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import type { AlertRow, FromNode, NodeMessage, ReadingRow } from '../../../node/link/messages.js';
import { parseFromNode, parseToNode } from '../../../node/link/messages.js';
import { alertRow, probeCards, readingRow } from '../../../node/link/rows.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn } from '../kit-with.js';

/** Everything an alert can carry; `Required` makes the compiler ask when a field is added. */
const fullAlert: Required<Alert> = {
  id: 'cooling:port',
  rule: 'high-limit',
  priority: 'alarm',
  escalated: true,
  state: 'rectified',
  probe: 'port-elbow',
  engine: 'port',
  engineName: 'Port',
  sinceMs: asMonotonicMs(1),
  remindEveryS: 600,
  acknowledgedAtMs: asMonotonicMs(2),
  silencedUntilMs: asMonotonicMs(3),
  shelvedUntilMs: asMonotonicMs(4),
  rectifiedAtMs: asMonotonicMs(5),
  message: 'Port wet elbow is at 95 C.',
  evidence: { values: { a: 1 }, thresholds: { b: 2 }, roomC: -1, roomS: 3 },
  instruction: 'Ease back',
  actions: ['Look at the water.'],
};
const wall = (at: number) => asWallMs(at + 1_000_000);
/** Of one quantity, as readings are; the others have a test of their own. */
const fullReading: Required<
  Omit<ReadingRow, 'pressureKpa' | 'uncertaintyKpa' | 'speedRpm' | 'uncertaintyRpm'>
> = {
  probe: 'p',
  at: 1,
  temperatureC: 1.5,
  uncertaintyC: 0.5,
  raw: 2,
  rawUnit: 'ohm',
  coldJunctionC: 20,
  quality: 'good',
  certificate: 'c@1',
};
const limits = { raiseAtC: 75, clearAtC: 70, holdS: 2 };

test.each([
  {
    kind: 'hello',
    boat: 'An Invented Boat',
    invented: true,
    engines: [{ id: 'main', name: 'Main engine', shortName: 'Main', kind: 'propulsion', alike: ['other'] }],
    probes: [
      {
        id: 'p',
        name: 'P',
        engine: 'all',
        place: 'sea-water',
        mounting: 'well',
        limits: { alarm: limits, warning: limits },
      },
    ],
  },
  { kind: 'readings', rate: 'episode', rows: [fullReading] },
  { kind: 'alerts', at: 1, alerts: [alertRow(fullAlert, wall) as Required<AlertRow>] },
  {
    kind: 'status',
    at: 1,
    board: 'lost',
    boardDetail: 'the cable was pulled out',
    running: { port: true, starboard: false },
    counters: {
      framesLost: 1,
      boardRefused: 2,
      boardReconnects: 3,
      passes: 4,
      readings: { 'port-elbow': { good: 5, doubtful: 6, missing: 7 } },
    },
  },
] satisfies NodeMessage[])('a $kind message loses no field on its way', (message) => {
  const whole: FromNode = {
    type: 'message',
    node: 'n',
    boot: 'b',
    seq: 1,
    clockSteppedMs: -3_600_000,
    message,
  };
  expect(parseFromNode(JSON.parse(JSON.stringify(whole)))).toEqual(whole);
});

test('the times of an alert become wall times, and only those it has', () => {
  expect(alertRow(fullAlert, wall)).toMatchObject({
    since: 1_000_001,
    acknowledgedAt: 1_000_002,
    silencedUntil: 1_000_003,
    shelvedUntil: 1_000_004,
    rectifiedAt: 1_000_005,
  });
  const { acknowledgedAtMs, silencedUntilMs, shelvedUntilMs, rectifiedAtMs, ...fresh } = fullAlert;
  expect([acknowledgedAtMs, silencedUntilMs, shelvedUntilMs, rectifiedAtMs]).toEqual([2, 3, 4, 5]);
  expect(Object.keys(alertRow(fresh, wall)).sort()).toEqual(
    [
      'actions',
      'engine',
      'engineName',
      'escalated',
      'evidence',
      'id',
      'instruction',
      'message',
      'priority',
      'probe',
      'remindEveryS',
      'rule',
      'since',
      'state',
    ].sort(),
  );
});

test('a missing reading carries its reason and no number', () => {
  const row = readingRow(
    { probe: 'p', readAtMs: asMonotonicMs(7), result: { kind: 'missing', reason: 'open' } },
    wall,
  );
  expect(row).toEqual({ probe: 'p', at: 1_000_007, quality: 'open' });
});

test('numbers are rounded to what they can mean: 0.001 C, 0.01 ohm', () => {
  const row = readingRow(
    {
      probe: 'p',
      readAtMs: asMonotonicMs(7),
      signal: { raw: 9_876.54321, rawUnit: 'ohm' },
      result: { kind: 'measured', quantity: 'temperature', temperatureC: 25.123456, uncertaintyC: 0.654321 },
      certificate: 'c@1',
    },
    wall,
  );
  expect(row).toMatchObject({ raw: 9_876.54, temperatureC: 25.123, uncertaintyC: 0.654, certificate: 'c@1' });
});

test('the card of a wet elbow without limits of its own shows the limits it is guarded by', () => {
  const kit = kitWith([{ channel: ntcOn('A0') }, { channel: ntcOn('A1'), place: 'engine-room' }]);
  const [elbow, air] = probeCards(kit, settingsFromKit(kit));
  expect(elbow?.limits.alarm?.raiseAtC).toBe(93);
  expect(air?.limits).toEqual({});
});

test.each([
  [{ type: 'stored', boot: 'b', seq: 12 }, true],
  [{ type: 'again', boot: 'b', fromSeq: 1 }, true],
  [{ type: 'command', requestId: 'r', command: { do: 'shelve', alertId: 'a', forS: 60 } }, true],
  [{ type: 'stored', boot: 'b', seq: -1 }, false],
  [{ type: 'stored', boot: 'b' }, false],
  [{ type: 'command', requestId: 'r', command: { do: 'destroy', alertId: 'a' } }, false],
  [{ type: 'command', requestId: 'r', command: { do: 'shelve', alertId: 'a', forS: 1e9 } }, false],
  [null, false],
  [7, false],
])('from a host %j is understood: %s', (value, understood) => {
  expect(parseToNode(value) !== undefined).toBe(understood);
});
