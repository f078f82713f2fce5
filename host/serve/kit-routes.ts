import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import type { Clock } from '../../node/index.js';
import { withLimits } from '../kit-file/edit-kit.js';
import { problemOf, readKitText } from '../kit-file/kit-file.js';
import type { KitKeeper, KitRefused, KitSaved } from '../kit-file/kit-keeper.js';
import { exceedanceOf } from '../replay/exceedance.js';
import type { Store } from '../store/index.js';
import { keptFor } from './kept-for.js';
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
const exceedanceKeptForMs = 600_000;

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

  const exceedanceFor =
    store &&
    keptFor(exceedanceKeptForMs, clock, (probe: string, nowMs) =>
      exceedanceOf(store, probe, nowMs - exceedanceDays * dayMs, nowMs),
    );
  app.get<{ Querystring: { probe?: string } }>('/api/exceedance', (request) => {
    const { probe } = request.query;
    const known = store?.probes().some(({ name }) => name === probe);
    if (!exceedanceFor || !probe || !known)
      throw new RefusedError(404, 'no-such-probe', `The store has no probe ${probe ?? ''}.`);
    return exceedanceFor(probe);
  });
};

const answer = (outcome: KitSaved | KitRefused): KitSaved => {
  if (outcome.ok) return outcome;
  throw new RefusedError(outcome.code, outcome.error, outcome.message);
};
