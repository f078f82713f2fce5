import { describe, expect, it } from 'vitest';
import { alertChanges, nothingTold, silenceChanges } from '../../../host/outputs/messages/changes.js';
import type { Change } from '../../../host/outputs/messages/message.js';
import type { AlertRow, Priority } from '../../../node/index.js';
import { alert, t0 } from './made-alerts.js';

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
