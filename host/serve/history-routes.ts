import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { allEngines, type Clock, type EngineCard, type ProbeCard, type Quantity } from '../../node/index.js';
import type { AlertHistory, ClockStep, Gap, ServiceEntry, Store, ValueEnvelope } from '../store/index.js';
import { RefusedError } from './refused-error.js';
import { tripsIn } from './trips.js';

const yearMs = 366 * 24 * 3_600_000;
const dayMs = 24 * 3_600_000;
const mostProbes = 32;

const asked = z
  .object({
    from: z.coerce.number().min(0),
    to: z.coerce.number().min(0),
    probes: z.string().default(''),
    buckets: z.coerce.number().int().min(10).max(4000).default(800),
  })
  .refine((q) => q.to - q.from >= 1_000 && q.to - q.from <= 4 * yearMs, {
    message: 'from must be before to, a second at least and four years at most',
  });

const serviceEntry = z.strictObject({
  at: z.number().min(0),
  engine: z.string().min(1).max(40),
  work: z.string().trim().min(1).max(120),
  note: z.string().trim().max(1000).optional(),
  restartsBaseline: z.boolean(),
});

export type HistoryProbe = {
  readonly name: string;
  readonly title: string;
  readonly engine: string;
  readonly place: string;
  readonly quantity: Quantity;
  readonly limits: ProbeCard['limits'];
};

/** Which probes the store knows, and from when to when it has readings (to the day). */
export type HistoryContents = {
  readonly engines: readonly EngineCard[];
  readonly probes: readonly HistoryProbe[];
  readonly oldestAt?: number;
  readonly newestAt?: number;
};

export type HistoryView = {
  readonly from: number;
  readonly to: number;
  readonly envelopes: readonly ValueEnvelope[];
  readonly alerts: readonly Omit<AlertHistory, 'history'>[];
  readonly gaps: readonly Gap[];
  readonly clockSteps: readonly ClockStep[];
  readonly service: readonly ServiceEntry[];
};

/** What the store remembers, in buckets with their least and greatest, for any span. */
export const historyRoutes = (app: FastifyInstance, store: Store, clock: Clock): void => {
  app.get('/api/history/contents', () => contents(store, clock.wallMs()));

  app.get('/api/history', (request) => {
    const { from, to, probes, buckets } = asked.parse(request.query);
    const known = new Set(store.probes().map((probe) => probe.name));
    const names = probes.split(',').filter(Boolean).slice(0, mostProbes);
    const unknown = names.find((name) => !known.has(name));
    if (unknown !== undefined)
      throw new RefusedError(
        404,
        'no-such-probe',
        `The store has no probe ${unknown}. It has: ${[...known].join(', ')}.`,
      );
    const view: HistoryView = {
      from,
      to,
      envelopes: names.map((probe) => store.values({ probe, from, to, atMost: buckets })),
      alerts: store.alerts({ from, to }).map(({ history: _, ...alert }) => alert),
      gaps: store.gaps({ from, to }),
      clockSteps: store.clockSteps({ from, to }),
      service: store.service.entries({ from, to }),
    };
    return view;
  });

  app.get('/api/trips', (request) => {
    const { from, to } = asked.parse(request.query);
    return tripsIn(store, { from, to }, clock.wallMs());
  });

  app.post('/api/service', (request) => {
    const { note, ...rest } = serviceEntry.parse(request.body);
    const known = [...store.engines().map(({ id }) => id), allEngines];
    if (!known.includes(rest.engine))
      throw new RefusedError(
        400,
        'no-such-engine',
        `There is no engine ${rest.engine} on this boat. It has: ${known.join(', ')}.`,
      );
    // A tablet's clock may be some hours ahead; a year ahead is a typing error that could not be corrected.
    if (rest.at > clock.wallMs() + dayMs)
      throw new RefusedError(
        400,
        'bad-request',
        `${new Date(rest.at).toISOString().slice(0, 10)} is in the future. The log is for work that is done.`,
      );
    return store.service.add(note ? { ...rest, note } : rest);
  });
};

const contents = (store: Store, nowMs: number): HistoryContents => {
  const stored = store.probes();
  const days = stored.flatMap(({ name }) => {
    const { at, n, missing } = store.values({
      probe: name,
      from: nowMs - 3 * yearMs,
      to: nowMs,
      everyMs: dayMs,
    });
    const filled = at.filter((_, i) => (n[i] ?? 0) + (missing[i] ?? 0) > 0);
    return [filled[0], filled.at(-1)].filter((day) => day !== undefined);
  });
  return {
    engines: store.engines(),
    probes: stored.map(({ name, card, quantity }) => ({
      name,
      title: card?.name ?? name,
      engine: card?.engine ?? allEngines,
      place: card?.place ?? 'unknown',
      quantity,
      limits: card?.limits ?? {},
    })),
    ...(days.length > 0 && {
      oldestAt: Math.min(...days),
      newestAt: Math.min(nowMs, Math.max(...days) + dayMs),
    }),
  };
};
