import type { FastifyInstance, FastifyReply } from 'fastify';
import { z } from 'zod';
import type { Clock } from '../../node/index.js';
import { withLimits } from '../kit-file/edit-kit.js';
import { problemOf, readKitText } from '../kit-file/kit-file.js';
import type { KitKeeper, KitRefused, KitSaved } from '../kit-file/kit-keeper.js';
import { type Exceedance, exceedanceOf } from '../replay/exceedance.js';
import type { Store } from '../store/index.js';

type KitOptions = {
  /** Writes the kit file; absent where this host has no --kit. */
  readonly keeper: KitKeeper | undefined;
  readonly store: Store | undefined;
  readonly clock: Clock;
};

const limit = z.strictObject({ raiseAtC: z.number(), clearAtC: z.number(), holdS: z.number() });
const limitsChange = z.strictObject({
  probe: z.string(),
  limits: z.strictObject({ warning: limit.optional(), alarm: limit.optional() }),
});
const wholeText = z.strictObject({ text: z.string().max(60_000) });
const dayMs = 86_400_000;
const exceedanceDays = 180;

/** The kit file and what history says of its setpoints. Every change is checked by the same schema as the node's. */
export const kitRoutes = (app: FastifyInstance, { keeper, store, clock }: KitOptions): void => {
  const kitPath = keeper?.kitPath;
  const noKit = {
    error: 'no-kit',
    message:
      'This host does not know where the kit file is. Start it with --kit FILE, on the computer that has it.',
  };

  app.get('/api/kit', (_request, reply) => {
    if (kitPath === undefined) return reply.code(404).send(noKit);
    try {
      return readKitText(kitPath);
    } catch (error) {
      return reply
        .code(404)
        .send({ error: 'no-kit', message: `Cannot read ${kitPath}: ${(error as Error).message}.` });
    }
  });

  app.post('/api/kit/check', (request, reply) => {
    const asked = wholeText.safeParse(request.body);
    if (!asked.success)
      return reply.code(400).send({ error: 'bad-request', message: z.prettifyError(asked.error) });
    const problem = problemOf(asked.data.text, kitPath ?? 'kit.yaml');
    return problem === undefined
      ? { ok: true }
      : reply.code(422).send({ error: 'not-a-kit', message: problem });
  });

  app.post('/api/kit', async (request, reply) => {
    const asked = wholeText.safeParse(request.body);
    if (!asked.success)
      return reply.code(400).send({ error: 'bad-request', message: z.prettifyError(asked.error) });
    if (!keeper) return reply.code(404).send(noKit);
    return answer(reply, await keeper.replace(asked.data.text));
  });

  app.post('/api/kit/limits', async (request, reply) => {
    const asked = limitsChange.safeParse(request.body);
    if (!asked.success)
      return reply.code(400).send({ error: 'bad-request', message: z.prettifyError(asked.error) });
    if (!keeper) return reply.code(404).send(noKit);
    const { probe, limits } = asked.data;
    const { warning, alarm } = limits;
    const change = { ...(warning && { warning }), ...(alarm && { alarm }) };
    return answer(reply, await keeper.edit((text) => withLimits(text, probe, change)));
  });

  const kept = new Map<string, { readonly atMs: number; readonly exceedance: Promise<Exceedance> }>();
  app.get<{ Querystring: { probe?: string } }>('/api/exceedance', (request, reply) => {
    const { probe } = request.query;
    const known = store?.probes().some(({ name }) => name === probe);
    if (!store || !probe || !known)
      return reply
        .code(404)
        .send({ error: 'no-such-probe', message: `The store has no probe ${probe ?? ''}.` });
    const nowMs = clock.wallMs();
    const found = kept.get(probe);
    if (found && Math.abs(nowMs - found.atMs) < 600_000) return found.exceedance;
    const exceedance = exceedanceOf(store, probe, nowMs - exceedanceDays * dayMs, nowMs);
    kept.set(probe, { atMs: nowMs, exceedance });
    exceedance.catch(() => kept.delete(probe));
    return exceedance;
  });
};

const answer = (reply: FastifyReply, outcome: KitSaved | KitRefused) => {
  if (outcome.ok) return outcome;
  const { code, error, message } = outcome;
  return reply.code(code).send({ error, message });
};
