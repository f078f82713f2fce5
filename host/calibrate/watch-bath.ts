import { type ProbeProgress, progressOf, type Session, stepSession } from '../../calibration/index.js';
import type { Clock } from '../../node/index.js';
import { type LiveEvent, listenToNode } from './live-readings.js';
import { sessionEventOf } from './session-event.js';

export type BathWatch = {
  /** `host:port` or a serial address of the node. */
  readonly node: string;
  readonly clock: Clock;
  /** Gives up waiting for probes that do not settle. */
  readonly timeoutS: number;
  /** Called about once a second, and when board or link come or go. */
  readonly show: (progress: readonly ProbeProgress[], trouble: string | undefined) => void;
  readonly stop: AbortSignal;
};

/**
 * Watches the bath that a session has begun until every probe has settled, the timeout is over, or `stop` is called, and
 * gives the session back with all it saw. The caller takes the points.
 */
export async function watchBath(from: Session, watch: BathWatch): Promise<Session> {
  let session = from;
  let trouble: string | undefined;
  const listening = new AbortController();
  const stop = () => listening.abort();
  watch.stop.addEventListener('abort', stop, { once: true });
  if (watch.stop.aborted) stop();

  const onEvent = (event: LiveEvent): void => {
    switch (event.kind) {
      case 'link':
        trouble = event.up ? undefined : `no node answers at ${watch.node}`;
        return;
      case 'board':
        trouble = event.state === 'connected' ? undefined : `the board is ${event.state}`;
        return;
      case 'row': {
        const { row, atS } = event;
        if (!(row.probe in session.probes)) return;
        session = stepSession(session, sessionEventOf(row, atS));
      }
    }
  };

  const begunMs = watch.clock.monotonicMs();
  const look = setInterval(() => {
    const progress = progressOf(session);
    watch.show(progress, trouble);
    const over = watch.clock.monotonicMs() - begunMs > watch.timeoutS * 1000;
    if (over || progress.every((p) => p.settled)) stop();
  }, 1000);
  try {
    await listenToNode(watch.node, watch.clock, listening.signal, onEvent);
  } finally {
    clearInterval(look);
    watch.stop.removeEventListener('abort', stop);
  }
  return session;
}
