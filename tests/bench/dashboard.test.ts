import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { lineOf } from '../../host/exchange/line-protocol.js';
import { houseRoot } from '../house/house-root.js';
import { until } from './house/running-command.js';
import { TimeSeriesServer } from './store/time-series-server.js';

type Panel = {
  readonly title: string;
  readonly targets: readonly { readonly refId: string; readonly expr: string }[];
};
const dashboard = JSON.parse(
  readFileSync(join(houseRoot, 'hardware-notes/dashboard/elbowroom.json'), 'utf8'),
) as {
  readonly panels: readonly Panel[];
  readonly templating: { readonly list: readonly { readonly definition: string }[] };
};

const seconds = 240;
let server: TimeSeriesServer;

/** Four minutes up to now: an elbow from 40 to 43.9 C, open for one second in four; a pump at 60 kPa. */
const lines = (nowMs: number): string[] =>
  Array.from({ length: seconds }, (_, i) => {
    const at = nowMs - (seconds - i) * 1000;
    const elbow =
      i % 4 === 3
        ? ({ probe: 'port-elbow', at, quality: 'open' } as const)
        : ({
            probe: 'port-elbow',
            at,
            quality: 'good',
            temperatureC: 40 + (i % 40) / 10,
            uncertaintyC: 0.2,
          } as const);
    const pump = { probe: 'port-pump', at, quality: 'good', pressureKpa: 60, uncertaintyKpa: 1 } as const;
    return [elbow, pump]
      .map((reading) => lineOf({ node: 'engine-room', rate: 'second', reading }, 'boat=Halcyon,'))
      .join('\n');
  });

beforeAll(async () => {
  server = await TimeSeriesServer.reserve();
  await server.start();
  const nowMs = Date.now();
  const written = await fetch(`${server.url}/api/v2/write`, {
    method: 'POST',
    body: lines(nowMs).join('\n'),
  });
  expect(written.status).toBe(204);
  const scrapedMs = nowMs - 5_000;
  const metrics = `elbowroom_active_alerts{node="engine-room",priority="alarm"} 1 ${scrapedMs}
elbowroom_active_alerts{node="engine-room",priority="warning"} 0 ${scrapedMs}
elbowroom_node_connected{node="engine-room"} 1 ${scrapedMs}
`;
  expect(
    (await fetch(`${server.url}/api/v1/import/prometheus`, { method: 'POST', body: metrics })).status,
  ).toBe(204);
  await server.flush();
  await until('the readings to be found', async () => (await ask('reading_good')).length > 0);
});
afterAll(() => server.stop());

const ask = async (expr: string) => {
  const query = expr.replaceAll('$boat', 'Halcyon').replaceAll('$__interval', '1m');
  const answer = await fetch(`${server.url}/api/v1/query?query=${encodeURIComponent(query)}`);
  const { status, data, error } = (await answer.json()) as {
    status: string;
    error?: string;
    data?: { result: { metric: Record<string, string>; value: [number, string] }[] };
  };
  expect({ status, error }, query).toEqual({ status: 'success', error: undefined });
  return (data?.result ?? []).map(({ metric, value }) => ({ metric, value: Number(value[1]) }));
};

const exprOf = (title: string, refId = 'A'): string => {
  const found = dashboard.panels.find((p) => p.title === title)?.targets.find((t) => t.refId === refId)?.expr;
  if (found === undefined) throw new Error(`no panel ${title} with target ${refId}`);
  return found;
};

describe('the dashboard, asked of a real server', () => {
  const all = dashboard.panels.flatMap(({ title, targets }) =>
    targets.map(({ refId, expr }) => [title, refId, expr] as const),
  );

  it.each(all)('%s (%s) finds something', async (_title, _ref, expr) => {
    expect((await ask(expr)).length).toBeGreaterThan(0);
  });

  it('gives the values that were written', async () => {
    const of = async (channel: string, title: string, refId = 'A') =>
      (await ask(exprOf(title, refId))).find(({ metric }) => metric.channel === channel)?.value;
    expect(await of('port-pump', 'Pump pressure')).toBe(60);
    expect(await of('port-elbow', 'Uncertainty (k = 1)')).toBe(0.2);
    const highest = await of('port-elbow', 'Lowest and highest in each step', 'A');
    const lowest = await of('port-elbow', 'Lowest and highest in each step', 'B');
    // 40 s of every value from 40 to 43.9 but for each fourth: 43.8 and 40 are in any whole minute.
    expect([lowest, highest]).toEqual([40, 43.8]);
    expect(await of('port-elbow', 'Share of good readings')).toBeCloseTo(0.75, 2);
    const [since] = await ask(exprOf('Since the last reading'));
    expect(since?.value).toBeGreaterThanOrEqual(0);
    // In seconds; on a busy machine some minutes pass, in milliseconds it would be tens of thousands at once.
    expect(since?.value).toBeLessThan(1000);
  });

  it('lists the boats for its choice', async () => {
    expect(dashboard.templating.list[0]?.definition).toBe('label_values(reading_good, boat)');
    const answer = await fetch(`${server.url}/api/v1/label/boat/values?match[]=reading_good`);
    expect(((await answer.json()) as { data: string[] }).data).toEqual(['Halcyon']);
  });
});
