import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { LiveSource } from '../live/live-source.js';
import type { Recent } from '../live/recent.js';
import { Events, mostListeners } from './events.js';
import type { Now } from './now.js';
import { patchOf } from './patch.js';
import { RefusedError } from './refused-error.js';

type Shown = {
  readonly live: LiveSource;
  readonly recent: Recent;
  readonly now: () => Now;
  readonly mayListen: (request: FastifyRequest) => boolean;
};

/** The present, whole at `/api/now`, and as events to every open page. Answers how to stop them. */
export const eventRoutes = (app: FastifyInstance, { live, recent, now, mayListen }: Shown): (() => void) => {
  const events = new Events();
  /** What was last sent to every open page; each second only the difference is sent. */
  let sent: Now | undefined;
  app.get('/api/now', () => now());
  app.get('/api/recent', () => recent.lines());
  app.get('/api/events', (request, reply) => {
    if (events.count >= mostListeners)
      throw new RefusedError(503, 'too-many-pages', `${mostListeners} pages are open already. Close one.`);
    // A page begins with what the others have, so that one patch serves all.
    if (events.count === 0) sent = now();
    const page = events.join(request, reply, () => mayListen(request));
    events.send('now', sent, page);
  });

  const sendChanges = () => {
    if (events.count === 0) return;
    const next = now();
    const patch = patchOf(sent, next);
    sent = next;
    events.send('patch', patch ?? {});
  };
  const stopMessages = live.on((node, message, delivery) => {
    if (message.kind !== 'readings') return sendChanges();
    recent.add(node, message.rows, delivery);
    events.send('readings', {
      node,
      clock: `${delivery.boot} ${delivery.clockSteppedMs}`,
      rows: message.rows.map(({ probe, at, temperatureC, quality }) => ({
        probe,
        at,
        temperatureC,
        quality,
      })),
    });
  });
  const stopChanges = live.onChange(sendChanges);
  const beat = setInterval(sendChanges, 1_000);
  return () => {
    clearInterval(beat);
    stopMessages();
    stopChanges();
    events.close();
  };
};
