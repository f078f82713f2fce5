import type { FastifyInstance } from 'fastify';
import type { AlertCommand } from '../../node/index.js';
import type { LiveSource } from './live-source.js';

const doings = ['acknowledge', 'silence', 'shelve', 'unshelve'] as const;
const testSoundS = 3;
const longestShelfS = 24 * 3600;

/** `POST /api/alerts/ID/acknowledge` and its sisters: each travels to the node that owns the alert, and its answer comes back. */
export const alertRoutes = (app: FastifyInstance, live: LiveSource): void => {
  for (const doing of doings) {
    app.post<{ Params: { id: string } }>(`/api/alerts/:id/${doing}`, async (request, reply) => {
      const { id } = request.params;
      const owner = live.nodes().find((node) => node.alerts.some((alert) => alert.id === id));
      if (!owner) {
        reply.code(404);
        return {
          error: 'no-such-alert',
          message: `No alert ${id} stands now. GET /api/now lists those that do.`,
        };
      }
      const command = commandFrom(doing, id, request.body);
      if (!command) {
        reply.code(400);
        return {
          error: 'asked-wrongly',
          message: `shelve needs a JSON body like {"forS": 3600}, from 1 to ${longestShelfS} seconds.`,
        };
      }
      const answer = await live.command(owner.node, command);
      if (!answer.ok) {
        reply.code(502);
        return {
          error: 'node-refused',
          message: `${owner.node} did not do it: ${answer.detail}. The buzzer follows the node, not this page.`,
        };
      }
      return { ok: true, detail: answer.detail };
    });
  }
};

/** `POST /api/nodes/NODE/test-sound`: the node plays for three seconds exactly what an alarm plays. */
export const soundRoute = (app: FastifyInstance, live: LiveSource): void => {
  app.post<{ Params: { node: string } }>('/api/nodes/:node/test-sound', async (request, reply) => {
    const { ok, detail } = await live.testSound(request.params.node, testSoundS);
    return ok
      ? { ok, detail }
      : reply.code(502).send({ error: 'node-refused', message: `No test: ${detail}` });
  });
};

const commandFrom = (doing: AlertCommand['do'], alertId: string, body: unknown): AlertCommand | undefined => {
  if (doing !== 'shelve') return { do: doing, alertId };
  const forS = body && typeof body === 'object' && 'forS' in body ? Number(body.forS) : Number.NaN;
  return forS >= 1 && forS <= longestShelfS ? { do: doing, alertId, forS } : undefined;
};
