import Fastify from 'fastify';
import { beforeEach, expect, it } from 'vitest';
import type { LiveSource, NodeNow } from '../../../host/live/live-source.js';
import { alertRoutes } from '../../../host/serve/alert-routes.js';
import { setErrorHandler } from '../../../host/serve/page-app.js';

const node = (name: string, ...ids: string[]): NodeNow => ({
  node: name,
  connected: true,
  invented: true,
  engines: [],
  probes: [],
  latest: [],
  ageMs: {},
  sequenceGaps: 0,
  alerts: ids.map((id) => ({
    id,
    priority: 'warning',
    since: 0,
    rule: 'r',
    state: 'unacknowledged',
    message: '',
    evidence: { values: {}, thresholds: {} },
    actions: [],
  })),
});

let given: string[];
const app = Fastify();
setErrorHandler(app);
alertRoutes(app, {
  nodes: () => [node('forward', 'board:board'), node('aft', 'board:board', 'cooling:port')],
  command: async (name, command) => {
    given.push(`${name} ${command.do} ${command.alertId}`);
    return { ok: true, detail: 'done' };
  },
} as Partial<LiveSource> as LiveSource);
beforeEach(() => {
  given = [];
});
const post = async (url: string, payload?: object) =>
  (await app.inject({ method: 'POST', url, ...(payload && { payload }) })).statusCode;

it('of two nodes with an alert of one name the one that was named acknowledges', async () => {
  expect(await post('/api/nodes/aft/alerts/board:board/acknowledge')).toBe(200);
  expect(await post('/api/nodes/forward/alerts/board:board/shelve', { forS: 60 })).toBe(200);
  expect(given).toEqual(['aft acknowledge board:board', 'forward shelve board:board']);
});

it('without a name the only owner is found, and where there are two none is guessed', async () => {
  expect(await post('/api/alerts/cooling:port/silence')).toBe(200);
  expect(await post('/api/alerts/board:board/acknowledge')).toBe(409);
  expect(given).toEqual(['aft silence cooling:port']);
});

it('an alert or a node that is not there is reported', async () => {
  expect(await post('/api/nodes/forward/alerts/cooling:port/acknowledge')).toBe(404);
  expect(await post('/api/nodes/midships/alerts/board:board/acknowledge')).toBe(404);
  expect(given).toEqual([]);
});
