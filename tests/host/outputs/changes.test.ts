import { describe, expect, it } from 'vitest';
import { alertChanges, nothingReported, silenceChanges } from '../../../host/outputs/messages/changes.js';
import type { Change } from '../../../host/outputs/messages/message.js';
import type { AlertRow, Priority } from '../../../node/index.js';
import { alert, t0 } from './made-alerts.js';

describe('what is worth telling', () => {
  const take = (reported: typeof nothingReported, alerts: AlertRow[], least: Priority = 'warning') =>
    alertChanges(reported, { node: 'n', alerts, at: t0 }, least);
  const kinds = (changes: readonly Change[]) => changes.map((c) => c.kind);

  it('is a new alert, once, whatever the node repeats', () => {
    const first = take(nothingReported, [alert()]);
    expect(kinds(first.changes)).toEqual(['raised']);
    expect(take(first.reported, [alert()]).changes).toEqual([]);
    expect(take(first.reported, [alert({ state: 'acknowledged' })]).changes).toEqual([]);
  });

  it('is a warning that became an alarm, and not an alarm that became a warning', () => {
    const warned = take(nothingReported, [alert({ priority: 'warning' })]);
    expect(kinds(take(warned.reported, [alert()]).changes)).toEqual(['worse']);
    const alarmed = take(nothingReported, [alert()]);
    expect(take(alarmed.reported, [alert({ priority: 'warning' })]).changes).toEqual([]);
  });

  it('is an acknowledged alert that sounds again with other words and the same numbers, once each time', () => {
    const blind = { id: 'blind:port', evidence: { values: { probes: 2 }, thresholds: {} } };
    let { reported } = take(nothingReported, [alert(blind)]);
    for (const message of ['Also nothing of the hose', 'Also nothing of the pump']) {
      const acknowledged = take(reported, [alert({ ...blind, state: 'acknowledged' })]);
      expect(acknowledged.changes).toEqual([]);
      const again = take(acknowledged.reported, [alert({ ...blind, message })]);
      expect(again.changes).toMatchObject([{ kind: 'raised', alert: { message } }]);
      ({ reported } = again);
      expect(take(reported, [alert({ ...blind, message })]).changes).toEqual([]);
    }
  });

  it('is another alarm of the same name that came while the host was down', () => {
    const first = take(nothingReported, [alert()]);
    const evidence = { values: { temperatureC: 75.4 }, thresholds: { raiseAtC: 75 }, roomC: -0.4 };
    const next = take(first.reported, [alert({ since: t0 + 600_000, evidence })]);
    expect(kinds(next.changes)).toEqual(['raised']);
  });

  it('is not a caution that grows where only warnings are asked for', () => {
    const evidence = { values: { temperatureC: 60 }, thresholds: {} };
    const first = take(nothingReported, [alert({ priority: 'caution' })]);
    expect(take(first.reported, [alert({ priority: 'caution', evidence })]).changes).toEqual([]);
  });

  it('names an ended alert as the node last had it, with how far it went', () => {
    const first = take(nothingReported, [alert()]);
    const message = 'Port wet elbow above 75 C. The highest was 113.0 C.';
    expect(take(first.reported, [alert({ state: 'rectified', message })]).changes).toMatchObject([
      { kind: 'ended', alert: { message } },
    ]);
  });

  it.each([
    ['rectified', [alert({ state: 'rectified' })]],
    ['gone', []],
  ])('is the end of a reported alert: %s', (_how, after) => {
    const first = take(nothingReported, [alert()]);
    const end = take(first.reported, after);
    expect(kinds(end.changes)).toEqual(['ended']);
    expect(take(end.reported, after).changes).toEqual([]);
    expect(kinds(take(end.reported, [alert()]).changes)).toEqual(['raised']);
  });

  it.each([
    ['caution', 'warning', 0],
    ['caution', 'caution', 1],
    ['warning', 'alarm', 0],
    ['alarm', 'alarm', 1],
  ] as const)('a %s, when at least %s is asked for: %d message', (priority, least, count) => {
    expect(take(nothingReported, [alert({ priority })], least).changes.length).toBe(count);
  });

  it('is reported for each node apart: another node’s list ends nothing', () => {
    const first = take(nothingReported, [alert()]);
    expect(alertChanges(first.reported, { node: 'other', alerts: [], at: t0 }, 'warning').changes).toEqual(
      [],
    );
  });
});

describe('a node that falls silent', () => {
  const at = (reported: typeof nothingReported, lastHeardAt: number | undefined, nowMs: number) =>
    silenceChanges(
      reported,
      [{ node: 'n', connected: false, ...(lastHeardAt === undefined ? {} : { lastHeardAt }) }],
      {
        nowMs,
        startedAtMs: t0,
        silentS: 300,
      },
    );

  it('is reported after 300 s and not after 299, once, and again when it is back', () => {
    expect(at(nothingReported, t0, t0 + 299_000).changes).toEqual([]);
    const silent = at(nothingReported, t0, t0 + 301_000);
    expect(silent.changes).toMatchObject([{ kind: 'silent', lastHeardAt: t0 }]);
    expect(at(silent.reported, t0, t0 + 900_000).changes).toEqual([]);
    expect(at(silent.reported, t0 + 901_000, t0 + 902_000).changes).toMatchObject([{ kind: 'back' }]);
  });

  it('counts from the start of the host when it never sent, or sent before', () => {
    expect(at(nothingReported, undefined, t0 + 299_000).changes).toEqual([]);
    expect(at(nothingReported, t0 - 9_000_000, t0 + 301_000).changes).toMatchObject([{ kind: 'silent' }]);
  });

  it('is not back just because the host was started again', () => {
    const silent = at(nothingReported, t0 - 9_000_000, t0 + 301_000);
    expect(at(silent.reported, t0 - 9_000_000, t0 + 1_000).changes).toEqual([]);
  });
});
