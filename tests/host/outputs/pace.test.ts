import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addChanges, atRest, type Pace, release } from '../../../host/outputs/messages/pace.js';
import type { Priority } from '../../../node/index.js';
import { change, t0 } from './made-alerts.js';

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

  it('never passes 12 messages in any hour and sends everything in the end, whatever arrives', () => {
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
