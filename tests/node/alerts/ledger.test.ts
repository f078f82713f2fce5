import { describe, expect, it } from 'vitest';
import type { AlertCommand } from '../../../node/alerts/alert.js';
import { acknowledge, condition, ledger, silence } from './scripted-ledger.js';

describe('the ledger of alerts', () => {
  // Where the clauses come from: DEVELOPERS.md, Sources.
  it('one situation seen by two rules is one alert of the higher priority (MSC.302(87) 5.2)', () => {
    const { alerts } = ledger().at(0, [condition('warning', 'port', 'fast-rise'), condition('alarm')]);
    expect(alerts).toMatchObject([{ id: 'cooling:port', priority: 'alarm', rule: 'high-limit' }]);
  });

  it('silence lasts 30 s and does not acknowledge (7.3.5)', () => {
    const book = ledger();
    book.at(0, [condition('alarm')]);
    expect(book.at(1, [condition('alarm')], silence).alerts[0]).toMatchObject({
      state: 'unacknowledged',
      silencedUntilMs: 31_000,
    });
    expect(book.at(30.9, [condition('alarm')]).alerts[0]?.silencedUntilMs).toBe(31_000);
    expect(book.at(31, [condition('alarm')]).alerts[0]?.silencedUntilMs).toBeUndefined();
  });

  it('a warning not acknowledged for 120 s rises to alarm; an acknowledged one does not (6.2.2)', () => {
    const left = ledger();
    left.at(0, [condition('warning')]);
    expect(left.at(119, [condition('warning')]).alerts[0]?.priority).toBe('warning');
    expect(left.at(120, [condition('warning')]).alerts[0]).toMatchObject({
      priority: 'alarm',
      escalated: true,
    });
    const seen = ledger();
    seen.at(0, [condition('warning')]);
    seen.at(1, [condition('warning')], acknowledge);
    expect(seen.at(500, [condition('warning')]).alerts[0]).toMatchObject({
      priority: 'warning',
      state: 'acknowledged',
    });
  });

  it('rectified: an acknowledged alert stays in view for 60 s, an unacknowledged one until acknowledged', () => {
    const book = ledger();
    book.at(0, [condition('alarm')], acknowledge);
    book.at(1, [condition('alarm')], acknowledge);
    expect(book.at(10, []).alerts[0]).toMatchObject({ state: 'rectified', rectifiedAtMs: 10_000 });
    expect(book.at(69, []).alerts).toHaveLength(1);
    expect(book.at(70, []).alerts).toEqual([]);
    const left = ledger();
    left.at(0, [condition('alarm')]);
    left.at(1, []);
    expect(left.at(10_000, []).alerts[0]?.state).toBe('rectified');
    left.at(10_001, [], acknowledge);
    expect(left.at(10_002, []).alerts).toEqual([]);
  });

  it('accepting one alarm does not inhibit another (MODU Code 8.7)', () => {
    const book = ledger();
    book.at(0, [condition('alarm')]);
    const { alerts } = book.at(1, [condition('alarm'), condition('alarm', 'starboard')], acknowledge);
    expect(alerts.map((a) => a.state)).toEqual(['acknowledged', 'unacknowledged']);
  });

  it('an alarm cannot be shelved; a warning at most for an hour, and then it is unacknowledged again', () => {
    const book = ledger();
    book.at(0, [condition('alarm')]);
    expect(
      book.at(1, [condition('alarm')], { do: 'shelve', alertId: 'cooling:port' }).answers[0],
    ).toMatchObject({
      ok: false,
    });
    const mild = ledger();
    mild.at(0, [condition('warning')]);
    const shelve = (forS: number): AlertCommand => ({ do: 'shelve', alertId: 'cooling:port', forS });
    expect(mild.at(1, [condition('warning')], shelve(3601)).answers[0]?.ok).toBe(false);
    expect(mild.at(2, [condition('warning')], shelve(600)).alerts[0]).toMatchObject({
      shelvedUntilMs: 602_000,
    });
    expect(mild.at(601, [condition('warning')]).alerts[0]?.state).toBe('acknowledged');
    expect(mild.at(602, [condition('warning')]).alerts[0]?.state).toBe('unacknowledged');
  });

  it('what did not change keeps its identity, and a command for nothing is answered', () => {
    const book = ledger();
    const first = book.at(0, [condition('alarm')]);
    const second = book.at(1, [condition('alarm')]);
    expect(second.entries).toBe(first.entries);
    expect(ledger().at(0, [], acknowledge).answers).toMatchObject([
      { ok: false, detail: 'There is no alert cooling:port.' },
    ]);
  });
});
