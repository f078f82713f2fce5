import type { FastifyInstance } from 'fastify';
import type { AlertCommand } from '../../node/index.js';
import type { LiveSource } from '../live/live-source.js';
import { RefusedError } from './refused-error.js';

const doings = ['acknowledge', 'silence', 'shelve', 'unshelve'] as const;
const testSoundS = 3;
const longestShelfS = 24 * 3600;

type AlertPath = { readonly id: string; readonly node?: string };

/**
 * `POST /api/nodes/NODE/alerts/ID/acknowledge` and its sisters: each travels to the node that owns the alert, and its
 * answer comes back. `/api/alerts/ID/...` finds the node itself, where only one has such an alert.
 */
export const alertRoutes = (app: FastifyInstance, live: LiveSource): void => {
  for (const doing of doings)
    for (const path of [`/api/nodes/:node/alerts/:id/${doing}`, `/api/alerts/:id/${doing}`])
      app.post<{ Params: AlertPath }>(path, ({ params, body }) => handOn(live, params, doing, body));
};

const handOn = async (
  live: LiveSource,
  { id, node }: AlertPath,
  doing: AlertCommand['do'],
  body: unknown,
): Promise<{ readonly ok: true; readonly detail: string }> => {
  const owners = live
    .nodes()
    .filter((known) => node === undefined || known.node === node)
    .filter((known) => known.alerts.some((alert) => alert.id === id))
    .map((known) => known.node);
  const [owner, another] = owners;
  if (owner === undefined)
    throw new RefusedError(
      404,
      'no-such-alert',
      `There is no active alert ${id}${node === undefined ? '' : ` at ${node}`}. GET /api/now lists those that are.`,
    );
  if (another !== undefined)
    throw new RefusedError(
      409,
      'which-node',
      `${owners.join(' and ')} each have an alert ${id}. Say which: POST /api/nodes/NODE/alerts/${id}/${doing}`,
    );
  const command = commandFrom(doing, id, body);
  if (!command)
    throw new RefusedError(
      400,
      'bad-request',
      `shelve needs a JSON body like {"forS": 3600}, from 1 to ${longestShelfS} seconds.`,
    );
  const answer = await live.command(owner, command);
  if (answer.ok) return { ok: true, detail: answer.detail };
  throw new RefusedError(
    502,
    'node-refused',
    `${owner} did not do it: ${answer.detail}. The buzzer follows the node, not this page.`,
  );
};

/** `POST /api/nodes/NODE/test-sound`: the node plays for three seconds exactly what an alarm plays. */
export const soundRoute = (app: FastifyInstance, live: LiveSource): void => {
  app.post<{ Params: { node: string } }>('/api/nodes/:node/test-sound', async (request) => {
    const { ok, detail } = await live.testSound(request.params.node, testSoundS);
    if (ok) return { ok, detail };
    throw new RefusedError(502, 'node-refused', `No test: ${detail}`);
  });
};

const commandFrom = (doing: AlertCommand['do'], alertId: string, body: unknown): AlertCommand | undefined => {
  if (doing !== 'shelve') return { do: doing, alertId };
  const forS = body && typeof body === 'object' && 'forS' in body ? Number(body.forS) : Number.NaN;
  return forS >= 1 && forS <= longestShelfS ? { do: doing, alertId, forS } : undefined;
};
