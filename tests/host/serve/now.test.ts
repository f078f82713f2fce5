import { describe, expect, it } from 'vitest';
import type { NodeNow } from '../../../host/live/live-source.js';
import { Recent, recentSpanMs } from '../../../host/live/recent.js';
import { nowDocument } from '../../../host/serve/now.js';
import { type AlertRow, firstEngineCards } from '../../../node/index.js';

const card = {
  id: 'port-elbow',
  name: 'Port wet elbow',
  engine: 'port',
  place: 'wet-elbow',
  mounting: 'well',
  limits: { alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 } },
} as const;
const at = 1_800_000_000_000;
const node = (change: Partial<NodeNow> = {}): NodeNow => ({
  node: 'engine-room',
  connected: true,
  invented: true,
  engines: firstEngineCards,
  probes: [card],
  latest: [{ probe: 'port-elbow', at, temperatureC: 50, quality: 'good' }],
  ageMs: { 'port-elbow': 200 },
  alerts: [],
  sequenceGaps: 0,
  ...change,
});
const probe = (nodes: readonly NodeNow[], atMs = at) => nowDocument(nodes, new Recent(), atMs).probes[0];

const first = { boot: 'first', clockSteppedMs: 0 };

describe('the document of now', () => {
  it('gives degrees, quality and room of a good reading', () => {
    expect(probe([node()])).toMatchObject({ temperatureC: 50, quality: 'good', roomC: 25, roomTo: 'alarm' });
  });

  it('a reading of 8 s ago is good, one of 8.001 s ago is stale and has no room', () => {
    const aged = (ms: number) => probe([node({ ageMs: { 'port-elbow': ms } })]);
    expect(aged(8_000)).toMatchObject({ quality: 'good', roomC: 25 });
    expect(aged(8_001)).toMatchObject({ quality: 'stale', temperatureC: 50 });
    expect(aged(8_001)).not.toHaveProperty('roomC');
  });

  it.each([-3_600_000, -9_000, 9_000, 3_600_000])(
    'a node whose clock is %d ms off is read as well as any',
    (offMs) => {
      expect(probe([node()], at - offMs)).toMatchObject({ quality: 'good', roomC: 25 });
      expect(probe([node({ ageMs: { 'port-elbow': 8_001 } })], at - offMs)?.quality).toBe('stale');
    },
  );

  it('a reading that was stored before the host listened is stale', () => {
    expect(probe([node({ ageMs: {} })])?.quality).toBe('stale');
  });

  it('two nodes with a probe of one name have each their own rate', () => {
    const recent = new Recent();
    for (let s = -60; s <= 0; s++) {
      const row = (temperatureC: number) => [
        { probe: 'port-elbow', at: at + s * 1000, temperatureC, quality: 'good' } as const,
      ];
      recent.add('engine-room', row(50), first);
      recent.add('bow', row(50 + s), first);
    }
    const [still, rising] = nowDocument([node(), node({ node: 'bow' })], recent, at).probes;
    expect(still?.riseCPerS).toBeCloseTo(0, 6);
    expect(rising?.riseCPerS).toBeCloseTo(1, 6);
  });

  it('with its node not connected even a fresh reading is stale', () => {
    expect(probe([node({ connected: false })])?.quality).toBe('stale');
  });

  it('a missing reading names its reason and has neither degrees nor room', () => {
    const open = probe([node({ latest: [{ probe: 'port-elbow', at, quality: 'open' }] })]);
    expect(open?.quality).toBe('open');
    expect(open).not.toHaveProperty('temperatureC');
    expect(open).not.toHaveProperty('roomC');
  });

  it('a probe that was never read says so', () => {
    expect(probe([node({ latest: [] })])?.quality).toBe('no-reading');
  });

  it('orders alerts of all nodes: priority, active before ended, furthest above its limit, oldest', () => {
    const alert = (
      id: string,
      priority: AlertRow['priority'],
      since: number,
      rest: Partial<AlertRow> = {},
    ) => ({
      id,
      priority,
      since,
      rule: 'r',
      state: 'unacknowledged' as const,
      message: '',
      evidence: { values: {}, thresholds: {} },
      actions: [],
      ...rest,
    });
    const card = node().probes[0];
    if (!card) throw new Error('This node has no probe.');
    const probes = ['cool', 'hot'].map((id) => ({
      ...card,
      id,
      limits: { alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 } },
    }));
    const latest = [
      { probe: 'cool', at, temperatureC: 51, quality: 'good' as const },
      { probe: 'hot', at, temperatureC: 101, quality: 'good' as const },
    ];
    const nodes = [
      node({
        probes,
        latest,
        alerts: [
          alert('ended', 'alarm', 0, { state: 'rectified' }),
          alert('foreseen', 'alarm', 1, { probe: 'cool' }),
          alert('a', 'caution', 9),
          alert('past', 'alarm', 4, { probe: 'hot' }),
        ],
      }),
      node({ node: 'bow', alerts: [alert('later', 'warning', 3), alert('earlier', 'warning', 2)] }),
    ];
    const { alerts } = nowDocument(nodes, new Recent(), at);
    expect(alerts.map(({ id, node: of }) => `${id} ${of}`)).toEqual([
      'past engine-room',
      'foreseen engine-room',
      'ended engine-room',
      'earlier bow',
      'later bow',
      'a engine-room',
    ]);
  });
});

describe('the last ten minutes', () => {
  it('keeps every instant once and forgets what is older', () => {
    const recent = new Recent();
    for (let s = 0; s < 3_000; s++) {
      recent.add('n', [{ probe: 'p', at: s * 1000, temperatureC: s, quality: 'good' }], first);
      recent.add('n', [{ probe: 'p', at: s * 1000, temperatureC: -1, quality: 'good' }], first);
    }
    const points = recent.of('n', 'p');
    expect(points.at(-1)).toEqual({ at: 2_999_000, temperatureC: 2_999 });
    expect(points.length).toBeGreaterThanOrEqual(recentSpanMs / 1000);
    expect(points.length).toBeLessThan(recentSpanMs / 1000 + 70);
    expect(points.every((p, i) => i === 0 || p.at > (points[i - 1]?.at ?? 0))).toBe(true);
  });

  it('stays bounded at 10 Hz for an hour', () => {
    const recent = new Recent();
    for (let i = 0; i < 36_000; i++)
      recent.add('n', [{ probe: 'p', at: i * 100, temperatureC: 1, quality: 'good' }], first);
    expect(recent.of('n', 'p').length).toBeLessThan(6_700);
  });

  const seconds = (recent: Recent, fromS: number, toS: number, clock: typeof first) => {
    for (let s = fromS; s < toS; s++)
      recent.add('n', [{ probe: 'p', at: at + s * 1000, temperatureC: s, quality: 'good' }], clock);
  };

  it.each([-3_600, -300, -1, 3_600])(
    'a clock that steps %d s moves what was before, and the chart runs on',
    (stepS) => {
      const recent = new Recent();
      seconds(recent, 0, 300, first);
      seconds(recent, 300 + stepS, 600 + stepS, { ...first, clockSteppedMs: stepS * 1000 });
      const times = recent.of('n', 'p').map((p) => (p.at - at) / 1000 - stepS);
      expect(times).toEqual(Array.from({ length: 600 }, (_, i) => i));
    },
  );

  it('a node that starts again with an older clock starts its chart again, and only its own', () => {
    const recent = new Recent();
    seconds(recent, 0, 300, first);
    recent.add('other', [{ probe: 'p', at, temperatureC: 1, quality: 'good' }], first);
    seconds(recent, -86_400, -86_300, { boot: 'second', clockSteppedMs: 0 });
    expect(recent.of('n', 'p')).toHaveLength(100);
    expect(recent.of('other', 'p')).toHaveLength(1);
  });
});
