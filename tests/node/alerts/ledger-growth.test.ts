import { describe, expect, it } from 'vitest';
import type { Condition } from '../../../node/alerts/condition.js';
import { acknowledge, condition, ledger, silence } from './scripted-ledger.js';

describe('an alert that grows', () => {
  it('an acknowledged warning that becomes an alarm is unacknowledged again and keeps its age', () => {
    const book = ledger();
    book.at(5, [condition('warning')]);
    book.at(6, [condition('warning')], acknowledge);
    expect(book.at(9, [condition('alarm')]).alerts[0]).toMatchObject({
      priority: 'alarm',
      state: 'unacknowledged',
      sinceMs: 5000,
    });
    expect(book.at(10, [condition('warning')]).alerts[0]?.priority).toBe('alarm');
  });

  it('an acknowledged warning of an idling engine becomes an alarm without a second call: both ask to stop it (5.2)', () => {
    const book = ledger();
    const idles = { ...condition('warning'), idles: true };
    expect(book.at(5, [idles]).alerts[0]?.instruction).toBe('Idle, then stop');
    book.at(6, [idles], acknowledge);
    expect(book.at(9, [{ ...condition('alarm'), idles: true }]).alerts[0]).toMatchObject({
      priority: 'alarm',
      state: 'acknowledged',
    });
    // Wet hose in danger is another action, and so another call.
    expect(book.at(12, [{ ...condition('alarm'), beyond: 2 }]).alerts[0]).toMatchObject({
      state: 'unacknowledged',
      instruction: 'Stop now',
    });
    const waiting = ledger();
    waiting.at(5, [idles]);
    expect(waiting.at(9, [condition('alarm')]).alerts[0]).toMatchObject({
      priority: 'alarm',
      state: 'unacknowledged',
    });
  });

  it('the throttle opened after an idle warning was acknowledged: its alarm is a call of its own', () => {
    const idle = { ...condition('warning'), idles: true };
    const opened = ledger();
    opened.at(5, [idle]);
    opened.at(6, [idle], acknowledge);
    opened.at(20, [condition('warning')]);
    expect(opened.at(60, [condition('alarm')]).alerts[0]).toMatchObject({
      priority: 'alarm',
      state: 'unacknowledged',
      sinceMs: 5000,
    });
    const grown = ledger();
    grown.at(5, [idle]);
    grown.at(6, [idle], acknowledge);
    expect(grown.at(9, [{ ...condition('alarm'), idles: true }]).alerts[0]?.state).toBe('acknowledged');
    expect(grown.at(30, [condition('alarm')]).alerts[0]?.state).toBe('unacknowledged');
    // Acknowledged as an alarm, it is known; idling and going on again is no news.
    grown.at(31, [condition('alarm')], acknowledge);
    grown.at(40, [{ ...condition('alarm'), idles: true }]);
    expect(grown.at(60, [condition('alarm')]).alerts[0]?.state).toBe('acknowledged');
  });

  it('eased back as asked, and still too warm at idle: to stop is another action, and so another call', () => {
    const book = ledger();
    const learned = condition('warning', 'port', 'above-learned');
    const idle = { ...condition('warning', 'port', 'fast-rise'), idles: true };
    expect(book.at(0, [learned]).alerts[0]?.instruction).toBe('Ease back');
    book.at(5, [learned], acknowledge);
    const same = ledger();
    same.at(0, [learned]);
    same.at(5, [learned], acknowledge);
    expect(same.at(20, [{ ...learned, idles: true }]).alerts[0]?.state).toBe('unacknowledged');
    expect(book.at(20, [idle]).alerts[0]).toMatchObject({
      state: 'unacknowledged',
      instruction: 'Idle, then stop',
      sinceMs: 0,
    });
    book.at(21, [idle], acknowledge);
    // What was asked for stays asked for, so that a gas probe at the edge of idle does not call again and again.
    expect(book.at(40, [learned]).alerts[0]).toMatchObject({
      state: 'acknowledged',
      instruction: 'Idle, then stop',
    });
    expect(book.at(60, [idle]).alerts[0]?.state).toBe('acknowledged');
  });

  it('a warning that time made an alarm, acknowledged, sounds again as what it is when it truly becomes one (7.3.1)', () => {
    const book = ledger();
    book.at(0, [condition('warning', 'port', 'rise-over-sea')]);
    book.at(121, [condition('warning', 'port', 'rise-over-sea')]);
    const seen = book.at(122, [condition('warning', 'port', 'rise-over-sea')], acknowledge).alerts[0];
    expect(seen).toMatchObject({ priority: 'alarm', escalated: true, state: 'acknowledged' });
    expect(seen?.instruction).toBe('Ease back');
    const grave = book.at(600, [{ ...condition('alarm'), message: 'It passed its limit.' }]).alerts[0];
    expect(grave).toMatchObject({
      priority: 'alarm',
      state: 'unacknowledged',
      rule: 'high-limit',
      message: 'It passed its limit.',
      sinceMs: 0,
    });
    expect(grave?.escalated).toBeUndefined();
    expect(grave?.acknowledgedAtMs).toBeUndefined();
    expect(grave?.instruction).toBe('Idle, then stop');
  });

  it('an acknowledged alarm that was only a warning for half a minute and is an alarm again sounds again', () => {
    const book = ledger();
    book.at(0, [condition('alarm')]);
    book.at(5, [condition('alarm')], acknowledge);
    book.at(60, [condition('warning')]);
    book.at(90, [condition('warning')]);
    expect(book.at(91, [condition('alarm')]).alerts[0]?.state).toBe('unacknowledged');
  });

  it('one that leaves the alarm for 29 s and comes back chatters, and stays acknowledged', () => {
    const book = ledger();
    book.at(0, [condition('alarm')]);
    book.at(5, [condition('alarm')], acknowledge);
    for (let s = 10; s < 600; s += 30) {
      for (let more = 0; more < 29; more++) book.at(s + more, [condition('warning')]);
      expect(book.at(s + 29, [condition('alarm')]).alerts[0]?.state).toBe('acknowledged');
    }
  });

  it('an alarm that grows is one alert: its limit passed asks for nothing new, its hose in danger asks to stop now', () => {
    const book = ledger();
    const asked = ([undefined, 1, 2, 2] as const).map((beyond, i) => {
      const grown = { ...condition('alarm'), ...(beyond && { beyond }) };
      const alert = book.at(10 * i, [grown]).alerts[0];
      book.at(10 * i + 1, [grown], acknowledge);
      return `${alert?.state}: ${alert?.instruction}`;
    });
    expect(asked).toEqual([
      'unacknowledged: Idle, then stop',
      'acknowledged: Idle, then stop',
      'unacknowledged: Stop now',
      'acknowledged: Stop now',
    ]);
    const quiet = ledger();
    quiet.at(0, [condition('alarm')]);
    quiet.at(1, [condition('alarm')], silence);
    expect(quiet.at(2, [{ ...condition('alarm'), beyond: 1 }]).alerts[0]?.silencedUntilMs).toBe(31_000);
    expect(quiet.at(3, [{ ...condition('alarm'), beyond: 2 }]).alerts[0]?.silencedUntilMs).toBeUndefined();
  });

  it('of two rules that ask for the same the one that has gone further gives the words', () => {
    const foreseen = { ...condition('alarm', 'port', 'limit-soon'), message: 'It will pass its limit.' };
    const passed = { ...condition('alarm'), beyond: 1 as const, message: 'It has passed its limit.' };
    for (const both of [
      [foreseen, passed],
      [passed, foreseen],
    ])
      expect(ledger().at(0, both).alerts).toMatchObject([{ message: 'It has passed its limit.' }]);
  });

  it('the message follows the temperature, once a second at most and by whole kelvins; the evidence is the first', () => {
    const book = ledger();
    const at = (nowC: number): Condition => ({
      ...condition('alarm'),
      nowC,
      message: `The elbow is at ${nowC} C.`,
      evidence: { values: { temperatureC: nowC }, thresholds: {} },
    });
    let changes = 0;
    let before = book.at(0, [at(40)]).entries;
    for (let tenths = 1; tenths <= 100; tenths++) {
      const { entries } = book.at(tenths / 10, [at(40 + tenths * 0.73)]);
      if (entries !== before) changes++;
      before = entries;
    }
    expect(changes).toBe(10);
    expect(before[0]?.alert).toMatchObject({
      message: 'The elbow is at 113 C.',
      evidence: { values: { temperatureC: 40 } },
    });
    const still = book.at(20, [at(113.9)]).entries;
    expect(still).toBe(before);
    expect(book.at(30, []).alerts[0]?.message).toBe('The elbow is at 40 C. The highest was 113.0 C.');
  });

  it('another rule renews all that an alert says; what people were asked to do is not softened while it is active', () => {
    const book = ledger();
    const says = (rule: string, message: string, priority: Condition['priority'] = 'warning'): Condition => ({
      ...condition(priority, 'board', rule),
      situation: 'board',
      message,
    });
    book.at(0, [says('board-unsteady', 'It comes and goes.')]);
    const { alerts } = book.at(11, [says('board-lost', 'It is lost.')]);
    expect(alerts[0]).toMatchObject({ rule: 'board-lost', message: 'It is lost.' });
    expect(alerts[0]?.actions[0]).toBe('Nothing is guarded now.');
    const hot = ledger();
    hot.at(0, [condition('alarm')]);
    const asked = hot.at(1, [condition('alarm')]).alerts[0];
    for (const s of [12, 45, 60]) {
      const milder = hot.at(s, [condition('warning', 'port', s < 60 ? 'fast-rise' : 'limit-soon')]).alerts[0];
      expect(milder).toMatchObject({ priority: 'alarm', instruction: asked?.instruction });
      expect(milder?.actions).toEqual(asked?.actions);
    }
  });
});
