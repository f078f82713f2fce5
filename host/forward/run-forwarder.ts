import { setTimeout as pause } from 'node:timers/promises';
import type { Clock } from '../../node/index.js';
import type { Store } from '../store/index.js';
import type { Destination } from './destination.js';
import { Forwarder } from './forwarder.js';
import { uploaderTo } from './uploader.js';

export type RunningForwarder = { close(): Promise<void> };

/** The cursor is saved with every chunk, and each save wears the disk: half a minute of delay spares it. */
const lookAgainMs = 30_000;
/** A request under way is not waited for: what it sends will be sent again, which does no harm. */
const closeWithinMs = 1_000;
/** Between chunks the host's other work has its turn. */
const breatheMs = 5;

/** Forwards for as long as it runs; says when the server stops or starts taking. Throws `ForwardError` for a bad token file. */
export const runForwarder = (
  store: Store,
  destination: Destination,
  clock: Clock,
  say: (words: string) => void,
): RunningForwarder => {
  const forwarder = new Forwarder(store, destination, uploaderTo(destination), clock);
  const closing = new AbortController();
  const work = async () => {
    let trouble: string | undefined;
    while (!closing.signal.aborted) {
      const result = await forwarder.step().catch((cause: Error) => ({
        kind: 'not-now' as const,
        why: cause.message,
        waitMs: lookAgainMs,
      }));
      const why = result.kind === 'not-now' ? result.why : undefined;
      if (why !== trouble && !closing.signal.aborted)
        say(why === undefined ? `${destination.url} takes readings again.` : `${destination.url}: ${why}`);
      trouble = why;
      const waitMs =
        result.kind === 'sent' ? breatheMs : result.kind === 'nothing-left' ? lookAgainMs : result.waitMs;
      await pause(waitMs, undefined, { signal: closing.signal }).catch(() => undefined);
    }
  };
  const working = work();
  return {
    close: async () => {
      closing.abort();
      await Promise.race([working, pause(closeWithinMs)]);
    },
  };
};
