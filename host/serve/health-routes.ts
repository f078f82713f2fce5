import type { FastifyInstance } from 'fastify';
import type { Clock } from '../../node/index.js';
import { type Health, healthOf } from '../health/health.js';
import type { Store } from '../store/index.js';

const dayMs = 86_400_000;
const mostDays = 400;
/** Weeks of history change slowly; two tablets need not compute them twice. */
const keptForMs = 120_000;

/** `GET /api/health?days=180`: baselines, effectiveness, twin balance and cold soaks. */
export const healthRoutes = (app: FastifyInstance, store: Store, clock: Clock): void => {
  const kept = new Map<number, { readonly atMs: number; readonly health: Promise<Health> }>();
  app.get<{ Querystring: { days?: string } }>('/api/health', (request, reply) => {
    const days = Number(request.query.days ?? 180);
    if (!(days >= 1 && days <= mostDays)) {
      reply.code(400);
      return { error: 'asked-wrongly', message: `days must be from 1 to ${mostDays}.` };
    }
    const nowMs = clock.wallMs();
    const whole = Math.round(days);
    const found = kept.get(whole);
    if (found && nowMs - found.atMs < keptForMs && nowMs >= found.atMs) return found.health;
    const health = healthOf(store, nowMs - whole * dayMs, nowMs);
    kept.set(whole, { atMs: nowMs, health });
    health.catch(() => kept.delete(whole));
    return health;
  });
};
