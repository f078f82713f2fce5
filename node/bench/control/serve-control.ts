import Fastify, { type FastifyInstance } from 'fastify';
import type { z } from 'zod';
import { comesFromHere, isLoopbackName } from '../../web/same-origin.js';
import { simulatorOf } from '../channels/table.js';
import { ActionError, act, type Bench } from './act.js';
import { type Action, actionGuide, actionSchema } from './actions.js';
import { truthOf } from './truth.js';

const mostBodyBytes = 4096;

/** The bench's control endpoint: `POST /do`, `GET /truth`, and `GET /` that lists what can be done. Not listening yet. */
export function controlServer(bench: Bench): FastifyInstance {
  const app = Fastify({ bodyLimit: mostBodyBytes });
  // Any content type is taken for JSON, so that a plain `curl -d` works.
  app.removeAllContentTypeParsers();
  app.addContentTypeParser('*', { parseAs: 'string' }, (_request, body, done) => done(null, body));

  // A web site that is open in a browser on this computer must not reach the boat, invented or not.
  app.addHook('onRequest', async ({ headers, method }, reply) => {
    if (!isLoopbackName(headers.host) || (method !== 'GET' && !comesFromHere(headers)))
      return reply.code(403).send({
        error: 'other-origin',
        message: 'The bench obeys programs on this computer, not web pages from elsewhere.',
      });
  });

  app.get('/', () => guide(bench));
  app.get('/truth', () => truthOf(bench));
  app.post('/do', async (request, reply) => {
    const wrong = (field: string, message: string) =>
      reply.code(400).send({ error: 'asked-wrongly', field, message });
    let body: unknown;
    try {
      body = JSON.parse(String(request.body ?? ''));
    } catch {
      return wrong('body', `Not JSON. Send an object such as ${exampleOf('bag-intake')}.`);
    }
    const checked = actionSchema.safeParse(body);
    if (!checked.success) return wrong(...explain(checked.error, body));
    try {
      return { did: await act(bench, checked.data), emulatedS: bench.emulation.nowS };
    } catch (error) {
      if (error instanceof ActionError) return wrong(error.field, error.message);
      if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE')
        return reply.code(409).send({
          error: 'port-in-use',
          message: `While the cable was out another program took its port: ${(error as Error).message}. Stop that, then replug again.`,
        });
      throw error;
    }
  });
  return app;
}

const exampleOf = (name: Action['action']): string =>
  JSON.stringify({ action: name, ...actionGuide[name].example });

const names = Object.keys(actionGuide) as Action['action'][];

function guide({ boat }: Bench): object {
  return {
    do: names.map((name) => ({ what: actionGuide[name].what, example: exampleOf(name) })),
    probes: [...boat.probes.values()].map(({ probe }) => ({
      id: probe.id,
      name: probe.name,
      faults: simulatorOf(probe.channel).faults,
    })),
  };
}

/** The field to blame and a sentence with the remedy, for the first thing that is wrong. */
function explain(error: z.ZodError, body: unknown): [field: string, message: string] {
  const asked = typeof body === 'object' && body !== null && 'action' in body ? body.action : undefined;
  const known = names.find((name) => name === asked);
  if (!known)
    return [
      'action',
      `${asked === undefined ? 'No "action"' : `No action ${JSON.stringify(asked)}`}. There are: ${names.join(', ')}.`,
    ];
  const issue = error.issues[0];
  const unknownKey = issue?.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
  const field = unknownKey ?? issue?.path.join('.') ?? 'body';
  return [field, `${known}: "${field}": ${issue?.message}. For example ${exampleOf(known)}.`];
}
