import { describe, expect, it } from 'vitest';
import type { NodeMessage } from '../../../node/link/messages.js';
import { next, reopenStore, span, status, store, time, withFreshStore } from './fresh-store.js';

withFreshStore();

import { reading, startAt } from './made-readings.js';

describe('steps of a node’s clock', () => {
  const hourMs = 3_600_000;
  const stepped = (message: NodeMessage, clockSteppedMs: number) =>
    store.intake.take({ ...next(message), ...(clockSteppedMs !== 0 && { clockSteppedMs }) });

  it('are noted with the time before and after, once, whatever is said of them afterwards', () => {
    stepped(status(0, true), 0);
    stepped(status(5 - 3600, true), -hourMs);
    stepped(status(10 - 3600, true), -hourMs);
    stepped(status(15 - 3600 + 86_400, true), 23 * hourMs);
    store.intake.commit();
    expect(store.clockSteps({ from: 0, to: startAt + 2 * 86_400_000 })).toEqual([
      {
        node: 'engine-room',
        boot: expect.any(String),
        beforeAt: startAt + 5000,
        afterAt: startAt + 5000 - hourMs,
        stepMs: -hourMs,
      },
      {
        node: 'engine-room',
        boot: expect.any(String),
        beforeAt: startAt + 15_000 - hourMs,
        afterAt: startAt + 15_000 - hourMs + 24 * hourMs,
        stepMs: 24 * hourMs,
      },
    ]);
    // A span sees a step by the clock on either side of it.
    expect(store.clockSteps({ from: startAt, to: startAt + 6000 })).toHaveLength(2);
    expect(store.clockSteps({ from: startAt + 25 * hourMs, to: startAt + 26 * hourMs })).toEqual([]);
  });

  it('are not noted again by a host that was started again, nor for another start of the node', () => {
    stepped(status(0, true), -hourMs);
    store.intake.commit();
    reopenStore();
    stepped(status(5, true), -hourMs);
    store.intake.take({ ...next(status(10, true)), boot: 'another' });
    store.intake.commit();
    expect(store.clockSteps(span)).toHaveLength(1);
  });
});

describe('the other tables', () => {
  it('keep full-rate readings apart from those once a second, and find them around an alert', () => {
    const raisedAt = startAt + 600_000;
    const full = Array.from({ length: 1800 }, (_, i) => reading('port-elbow', raisedAt - 60_000 + i * 100));
    store.intake.take(next({ kind: 'readings', rate: 'episode', rows: full }));
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', raisedAt)] }));
    expect(store.span({ ...span, probe: 'port-elbow' })).toHaveLength(1);
    store.intake.commit();
    const episode = store.episode({ raisedAt }).find((e) => e.probe === 'port-elbow');
    expect(episode?.rows).toEqual(full);
    expect(store.envelope({ ...span, probe: 'port-elbow', atMost: 10 }).n.reduce((a, b) => a + b)).toBe(1);
  });

  it('count a reading that falls on a taken millisecond, and an invalid row', () => {
    const row = reading('port-elbow', startAt);
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [row, { ...row, temperatureC: 1 }] }));
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [{ ...row, at: -5 }] }));
    store.intake.commit();
    expect(store.about()).toMatchObject({ readings: 1, collisions: 1, refusedRows: 1 });
    expect(store.span({ ...span, probe: 'port-elbow' })).toEqual([row]);
  });

  it('take a late row into an hour that is being sealed, and into one that is', () => {
    for (let i = 0; i < 3600; i++)
      if (i !== 100 && i !== 200)
        store.intake.take(
          next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', startAt + i * 1000)] }),
        );
    store.intake.commit();
    time.advance(5 * 3_600_000);
    store.intake.tick();
    const late = (i: number) => {
      store.intake.take(
        next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', startAt + i * 1000)] }),
      );
      store.intake.commit();
    };
    late(100);
    const drain = () => {
      for (let i = 0; i < 6; i++) {
        time.advance(1000);
        store.intake.tick();
      }
    };
    drain();
    late(200);
    drain();
    const rows = store.span({ ...span, probe: 'port-elbow' });
    expect(rows.map((r) => (r.at - startAt) / 1000)).toEqual(Array.from({ length: 3600 }, (_, i) => i));
    expect(store.envelope({ ...span, probe: 'port-elbow', everyMs: 3_600_000 }).n[0]).toBe(3600);
  });

  it('keep the service log in order of time', () => {
    const work = { engine: 'port', work: 'impeller', restartsBaseline: true } as const;
    const second = store.service.add({ at: startAt + 2, ...work, note: 'two vanes gone' });
    const first = store.service.add({ at: startAt + 1, ...work });
    expect(store.service.entries()).toEqual([first, second]);
    expect(store.service.entries({ from: startAt + 2 })).toEqual([second]);
  });

  it('refuse history whose columns do not fit, and say which', () => {
    const at = Float64Array.of(startAt, startAt + 1000);
    const history = { node: 'n', probe: 'sea', at, temperatureC: Float64Array.of(1) };
    expect(() => store.addHistory(history)).toThrow(/2 times and a column of 1/);
    const hot = { ...history, temperatureC: Float64Array.of(1, Number.NaN) };
    expect(() => store.addHistory(hot)).toThrow(/temperature NaN at place 1/);
    const missing = { ...hot, quality: ['good', 'open'] as const };
    expect(store.addHistory(missing)).toEqual({ added: 2, already: 0, differing: 0 });
    expect(store.span({ ...span, probe: 'sea' })).toEqual([
      { probe: 'sea', at: startAt, temperatureC: 1, quality: 'good' },
      { probe: 'sea', at: startAt + 1000, quality: 'open' },
    ]);
  });
});
