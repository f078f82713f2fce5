import { describe, expect, it } from 'vitest';
import { alertChanges, nothingReported } from '../../../host/outputs/messages/changes.js';
import { composeChanges } from '../../../host/outputs/messages/compose.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import type { Condition } from '../../../node/alerts/condition.js';
import type { Entry } from '../../../node/alerts/entry.js';
import { keepLedger } from '../../../node/alerts/ledger.js';
import type { AlertRow } from '../../../node/index.js';
import { alertRow } from '../../../node/link/rows.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';

const startMs = Date.parse('2026-07-01T12:00:00Z');

/** The elbow at a temperature: foreseen at 50 C, past its limit of 75 C, wet hose in danger at 100 C. */
const elbowAt = (nowC: number): Condition => ({
  situation: 'cooling',
  subject: 'port',
  rule: nowC < 75 ? 'limit-soon' : 'high-limit',
  priority: 'alarm',
  engine: 'port',
  message: `Port wet elbow is at ${nowC.toFixed(1)} C.`,
  evidence: { values: { temperatureC: nowC }, thresholds: { raiseAtC: 75 }, roomC: 75 - nowC },
  nowC,
  beyond: nowC < 75 ? 0 : nowC < 100 ? 1 : 2,
});

/** The real ledger of a node and what is reported ashore of it; the rows go over the link as JSON, as they really do. */
const ashore = () => {
  let entries: readonly Entry[] = [];
  let reported = nothingReported;
  const rowsAt = (s: number, conditions: readonly Condition[], acknowledge: boolean): AlertRow[] => {
    entries = keepLedger(
      entries,
      conditions,
      acknowledge ? [{ do: 'acknowledge', alertId: 'cooling:port' }] : [],
      { nowMs: asMonotonicMs(s * 1000), escalateAfterS: 120 },
    ).entries;
    const rows = entries.map(({ alert }) => alertRow(alert, (at) => asWallMs(startMs + at)));
    return JSON.parse(JSON.stringify(rows)) as AlertRow[];
  };
  return {
    at: (s: number, conditions: readonly Condition[], { acknowledge = false } = {}) => {
      const alerts = rowsAt(s, conditions, acknowledge);
      const out = alertChanges(reported, { node: 'n', alerts, at: startMs + s * 1000 }, 'warning');
      // What is kept over a restart of the host is JSON too.
      reported = JSON.parse(JSON.stringify(out.reported));
      return out.changes;
    },
  };
};

describe('an alarm that grows is reported ashore', () => {
  it('once when it is raised and once when it asks to stop now, and not for every degree', () => {
    const shore = ashore();
    const reported: string[] = [];
    for (let s = 0; s <= 80; s++) {
      const nowC = 50 + s;
      // Somebody aboard acknowledges two seconds after each call.
      const changes = shore.at(s, [elbowAt(nowC)], { acknowledge: [2, 52].includes(s) });
      for (const change of changes) reported.push(`${change.kind} at ${nowC} C`);
    }
    expect(reported).toEqual(['raised at 50 C', 'worse at 100 C']);
  });

  it('again when it had eased for longer than the guard takes for chatter, and not for a dip of a second', () => {
    const shore = ashore();
    // Below its limit it asks only to ease back.
    const kinds = (s: number, nowC: number) =>
      shore
        .at(s, [{ ...elbowAt(nowC), ...(nowC < 75 && { priority: 'warning' as const, beyond: 0 as const }) }])
        .map((change) => change.kind);
    expect(kinds(0, 80)).toEqual(['raised']);
    for (const [s, nowC] of [
      [10, 70],
      [11, 80],
      [20, 70],
      [40, 70],
      [55, 70],
    ] as const)
      expect([s, kinds(s, nowC)]).toEqual([s, []]);
    expect(kinds(56, 80.1)).toEqual(['worse']);
    expect(kinds(57, 81)).toEqual([]);
  });

  it('and its end says how far it went', () => {
    const shore = ashore();
    for (const [s, nowC] of [
      [0, 80],
      [5, 112],
      [10, 90],
    ] as const)
      shore.at(s, [elbowAt(nowC)]);
    const [end, ...more] = shore.at(20, []);
    expect(more).toEqual([]);
    expect(end).toMatchObject({ kind: 'ended', alert: { message: expect.stringContaining('112.0 C') } });
  });

  it('in words that say it is not a repetition', () => {
    const shore = ashore();
    shore.at(0, [elbowAt(80)]);
    const changes = shore.at(10, [elbowAt(101)]);
    const { subject } = composeChanges(
      {
        boat: 'Marsh Harrier',
        invented: true,
        nowMs: startMs,
        degrees: degreesIn('celsius'),
        active: [],
        readings: [],
        givenUp: 0,
      },
      changes,
      0,
      'id',
    );
    expect(subject).toBe(
      'Marsh Harrier (invented): ALARM, worse: Port: stop now. Port wet elbow is at 101.0 C.',
    );
  });
});
