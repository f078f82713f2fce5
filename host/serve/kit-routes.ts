import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import type { Clock } from '../../node/index.js';
import { withLimits } from '../kit-file/edit-kit.js';
import { problemOf, readKitText } from '../kit-file/kit-file.js';
import type { KitKeeper, KitRefused, KitSaved } from '../kit-file/kit-keeper.js';
import { type Exceedance, exceedanceOf } from '../replay/exceedance.js';
import type { Store } from '../store/index.js';
import { RefusedError } from './refused-error.js';

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
  const noKit = () =>
    new RefusedError(
      404,
      'no-kit',
      'This host does not know where the kit file is. Start it with --kit FILE, on the computer that has it.',
    );

  app.get('/api/kit', () => {
    if (kitPath === undefined) throw noKit();
    try {
      return readKitText(kitPath);
    } catch (error) {
      throw new RefusedError(404, 'no-kit', `Cannot read ${kitPath}: ${(error as Error).message}.`);
    }
  });

  app.post('/api/kit/check', (request) => {
    const { text } = wholeText.parse(request.body);
    const problem = problemOf(text, kitPath ?? 'kit.yaml');
    if (problem !== undefined) throw new RefusedError(422, 'not-a-kit', problem);
    return { ok: true };
  });

  app.post('/api/kit', async (request) => {
    const { text } = wholeText.parse(request.body);
    if (!keeper) throw noKit();
    return answer(await keeper.replace(text));
  });

  app.post('/api/kit/limits', async (request) => {
    const {
      probe,
      limits: { warning, alarm },
    } = limitsChange.parse(request.body);
    if (!keeper) throw noKit();
    const change = { ...(warning && { warning }), ...(alarm && { alarm }) };
    return answer(await keeper.edit((text) => withLimits(text, probe, change)));
  });

  const kept = new Map<string, { readonly atMs: number; readonly exceedance: Promise<Exceedance> }>();
  app.get<{ Querystring: { probe?: string } }>('/api/exceedance', (request) => {
    const { probe } = request.query;
    const known = store?.probes().some(({ name }) => name === probe);
    if (!store || !probe || !known)
      throw new RefusedError(404, 'no-such-probe', `The store has no probe ${probe ?? ''}.`);
    const nowMs = clock.wallMs();
    const found = kept.get(probe);
    if (found && Math.abs(nowMs - found.atMs) < 600_000) return found.exceedance;
    const exceedance = exceedanceOf(store, probe, nowMs - exceedanceDays * dayMs, nowMs);
    kept.set(probe, { atMs: nowMs, exceedance });
    exceedance.catch(() => kept.delete(probe));
    return exceedance;
  });
};

const answer = (outcome: KitSaved | KitRefused): KitSaved => {
  if (outcome.ok) return outcome;
  throw new RefusedError(outcome.code, outcome.error, outcome.message);
};
