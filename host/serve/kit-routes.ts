import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import type { Clock } from '../../node/index.js';
import { withLimits } from '../set-up/edit-kit.js';
import { type Habit, habitOf } from '../set-up/habit.js';
import { problemOf, readKitText, writeKit } from '../set-up/kit-file.js';
import type { Store } from '../store/index.js';

type KitOptions = {
  readonly kitPath: string | undefined;
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
const habitDays = 180;

export type KitSaved = { readonly ok: true; readonly backup?: string };

/** The kit file and what history says of its setpoints. Every change is checked by the same schema as the node's. */
export const kitRoutes = (app: FastifyInstance, { kitPath, store, clock }: KitOptions): void => {
  const noKit = {
    error: 'no-kit',
    message:
      'This host was not told where the kit file is. Start it with --kit FILE, on the computer that has it.',
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

  const save = async (text: string): Promise<{ readonly code: number; readonly body: unknown }> => {
    if (kitPath === undefined) return { code: 404, body: noKit };
    const problem = problemOf(text, kitPath);
    if (problem !== undefined) return { code: 422, body: { error: 'not-a-kit', message: problem } };
    try {
      const backup = await writeKit(kitPath, text, clock.wallMs());
      const saved: KitSaved = { ok: true, ...(backup !== undefined && { backup }) };
      return { code: 200, body: saved };
    } catch (error) {
      return {
        code: 500,
        body: {
          error: 'not-written',
          message: `Cannot write ${kitPath}: ${(error as Error).message}. The old file is as it was.`,
        },
      };
    }
  };

  app.post('/api/kit/check', (request, reply) => {
    const asked = wholeText.safeParse(request.body);
    if (!asked.success)
      return reply.code(400).send({ error: 'asked-wrongly', message: z.prettifyError(asked.error) });
    const problem = problemOf(asked.data.text, kitPath ?? 'kit.yaml');
    return problem === undefined
      ? { ok: true }
      : reply.code(422).send({ error: 'not-a-kit', message: problem });
  });

  app.post('/api/kit', async (request, reply) => {
    const asked = wholeText.safeParse(request.body);
    if (!asked.success)
      return reply.code(400).send({ error: 'asked-wrongly', message: z.prettifyError(asked.error) });
    const { code, body } = await save(asked.data.text);
    return reply.code(code).send(body);
  });

  app.post('/api/kit/limits', async (request, reply) => {
    const asked = limitsChange.safeParse(request.body);
    if (!asked.success)
      return reply.code(400).send({ error: 'asked-wrongly', message: z.prettifyError(asked.error) });
    if (kitPath === undefined) return reply.code(404).send(noKit);
    const { probe, limits } = asked.data;
    const { warning, alarm } = limits;
    const kit = editableKit(kitPath);
    if ('message' in kit) return reply.code(409).send(kit);
    const text = withLimits(kit.text, probe, {
      ...(warning && { warning }),
      ...(alarm && { alarm }),
    });
    if (text === undefined)
      return reply.code(404).send({ error: 'no-such-probe', message: `The kit file has no probe ${probe}.` });
    const { code, body } = await save(text);
    return reply.code(code).send(body);
  });

  const kept = new Map<string, { readonly atMs: number; readonly habit: Promise<Habit> }>();
  app.get<{ Querystring: { probe?: string } }>('/api/habit', (request, reply) => {
    const { probe } = request.query;
    const known = store?.probes().some(({ name }) => name === probe);
    if (!store || !probe || !known)
      return reply
        .code(404)
        .send({ error: 'no-such-probe', message: `The store has no probe ${probe ?? ''}.` });
    const nowMs = clock.wallMs();
    const found = kept.get(probe);
    if (found && Math.abs(nowMs - found.atMs) < 600_000) return found.habit;
    const habit = habitOf(store, probe, nowMs - habitDays * dayMs, nowMs);
    kept.set(probe, { atMs: nowMs, habit });
    habit.catch(() => kept.delete(probe));
    return habit;
  });
};

/** The kit file's text where it can be changed in places; a broken one is the owner's to mend first, as a whole. */
export const editableKit = (
  kitPath: string,
): { readonly text: string } | { readonly error: 'kit-broken'; readonly message: string } => {
  let why: string | undefined;
  try {
    const { text, problem } = readKitText(kitPath);
    if (problem === undefined) return { text };
    why = problem;
  } catch (error) {
    why = `Cannot read ${kitPath}: ${(error as Error).message}.`;
  }
  return {
    error: 'kit-broken',
    message: `The kit file was not changed, because it is broken as it lies there. Mend it first, here under "The kit file" or in an editor.\n${why}`,
  };
};
