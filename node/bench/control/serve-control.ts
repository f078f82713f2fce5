import Fastify, { type FastifyInstance } from 'fastify';
import type { z } from 'zod';
import { allEngines } from '../../kit/engines.js';
import { comesFromHere, isLoopbackName } from '../../web/same-origin.js';
import { simulatorOf } from '../channels/table.js';
import { ActionError, act, type Bench } from './act.js';
import { type Action, actionGuide, actionSchema, type Things } from './actions.js';
import { truthOf } from './truth.js';

const mostBodyBytes = 4096;

/** The bench's control endpoint: `POST /do`, `GET /truth`, and `GET /` that lists what can be done. Not listening yet. */
export function controlServer(bench: Bench): FastifyInstance {
  const app = Fastify({ bodyLimit: mostBodyBytes });
  const exampleOf = exampleOn(bench);
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

  app.get('/', () => guide(bench, exampleOf));
  app.get('/truth', () => truthOf(bench));
  app.post('/do', async (request, reply) => {
    const wrong = (field: string, message: string) =>
      reply.code(400).send({ error: 'bad-request', field, message });
    let body: unknown;
    try {
      body = JSON.parse(String(request.body ?? ''));
    } catch {
      return wrong('body', `Not JSON. Send an object such as ${exampleOf('bag-intake')}.`);
    }
    const checked = actionSchema.safeParse(body);
    if (!checked.success) return wrong(...explain(checked.error, body, exampleOf));
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

/** Examples that work as printed on this boat. */
type ExampleOf = (name: Action['action']) => string;

const thingsOf = ({ boat }: Bench): Things => {
  const probes = [...boat.probes.values()].map(({ probe }) => probe);
  const engines = [
    ...new Set(probes.flatMap(({ engine }) => (engine === allEngines ? [] : [engine]))),
    ...boat.runningInputs.keys(),
  ];
  const engine = engines[0] ?? 'main';
  return {
    engine,
    other: engines[1] ?? engine,
    elbow: probes.find(({ place }) => place === 'wet-elbow')?.id,
    amplified: probes.find(({ channel }) => channel.kind === 'mcp960x')?.id,
    gauge: probes.find(({ place }) => place === 'raw-water-pressure')?.id,
  };
};

const exampleOn = (bench: Bench): ExampleOf => {
  const guide = actionGuide(thingsOf(bench));
  return (name) => JSON.stringify({ action: name, ...guide[name].example });
};

function guide(bench: Bench, exampleOf: ExampleOf): object {
  const { boat } = bench;
  const all = actionGuide(thingsOf(bench));
  const possible = names.filter((name) => !Object.values(all[name].example).includes(undefined));
  return {
    do: possible.map((name) => ({ what: all[name].what, example: exampleOf(name) })),
    probes: [...boat.probes.values()].map(({ probe }) => ({
      id: probe.id,
      name: probe.name,
      faults: simulatorOf(probe.channel).faults,
    })),
  };
}

const names = actionSchema.options.map(({ shape }) => shape.action.value);

/** The wrong field and a sentence with the remedy, for the first thing that is wrong. */
function explain(error: z.ZodError, body: unknown, exampleOf: ExampleOf): [field: string, message: string] {
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
