import { afterEach, describe, expect, it } from 'vitest';
import { overAt } from '../../../host/page/history/marks.js';
import { endingNow, fromLink, moved, toLink, zoomed } from '../../../host/page/history/span.js';
import { now } from '../../../host/page/link/stream.js';
import { unit } from '../../../host/page/look/degrees.js';
import type { HistoryView } from '../../../host/serve/history-routes.js';

afterEach(() => {
  now.value = undefined;
  unit.value = 'C';
});

describe('an alert in History', () => {
  const raisedAt = 1_800_000_000_000;
  const alert = {} as HistoryView['alerts'][number]['alert'];
  it.each([
    ['active', alert, undefined, undefined],
    ['ended after it was acknowledged', alert, raisedAt + 60_000, 60],
    ['ended, and waits', { ...alert, rectifiedAt: raisedAt + 10_000 }, undefined, 10],
    ['ended, and waited', { ...alert, rectifiedAt: raisedAt + 10_000 }, raisedAt + 279_000, 10],
  ])('that %s has its own time, whenever a hand came', (_, seen, endedAt, stoodS) => {
    const over = overAt({ alert: seen, ...(endedAt !== undefined && { endedAt }) });
    expect(over === undefined ? undefined : (over - raisedAt) / 1000).toBe(stoodS);
  });
});

describe('a span of history', () => {
  const now = 1_800_000_000_000;
  it('zooming keeps the point under the hand where it is', () => {
    const shown = { from: now - 10_000_000, to: now - 2_000_000, follows: false };
    const closer = zoomed(shown, 0.5, 0.25, now);
    const under = (s: { from: number; to: number }) => s.from + (s.to - s.from) * 0.25;
    expect(under(closer)).toBeCloseTo(under(shown), 3);
    expect(closer.to - closer.from).toBe(4_000_000);
  });

  it('never shows the future: moving later stops at the present and follows it', () => {
    const later = moved({ from: now - 3_600_000, to: now - 60_000, follows: false }, 0.5, now);
    expect(later).toEqual({ from: now - 3_540_000, to: now, follows: true });
  });

  it('is reproduced by its link', () => {
    const fixed = { from: 1_700_000_000_000, to: 1_700_000_600_000, follows: false };
    expect(fromLink(new URLSearchParams(toLink(fixed)), now)).toEqual(fixed);
    const live = endingNow(3_600_000, now);
    expect(fromLink(new URLSearchParams(toLink(live)), now)).toEqual(live);
  });

  it.each(['', 'from=5&to=1', 'last=NaN', 'last=1', 'from=-1&to=99999999'])(
    'a link with "%s" names no span',
    (query) => {
      expect(fromLink(new URLSearchParams(query), now)).toBeUndefined();
    },
  );
});
