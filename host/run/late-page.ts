import type { HostAlerts } from '../live/host-alerts.js';
import { PageError } from '../serve/page-error.js';
import type { ServedPage } from '../serve/serve-page.js';

/** What is informed of a page that could not be served at once. */
export type LatePage = {
  /** Once, with the reason. */
  readonly waits: (why: string) => void;
  /** When it is served after all. */
  readonly served: (url: string) => void;
};

const againMs = 3_000;

/**
 * The served page. With `latePage`, one that cannot be served (its port is taken) is an alert of the host and is tried
 * again every three seconds, while everything else of the host continues; without it, throws the `PageError`.
 */
export async function pageOrWait(
  latePage: LatePage | undefined,
  alerts: HostAlerts,
  serve: () => Promise<ServedPage>,
): Promise<{ readonly url: string | undefined; close(): Promise<void> }> {
  const id = 'host-page:not-served';
  const raise = (message: string) =>
    alerts.raise({
      id,
      rule: 'page-not-served',
      priority: 'warning',
      message,
      actions: ['Nothing needs a restart: the page starts by itself. Guard, store and messages continue.'],
    });
  try {
    return await serve();
  } catch (error) {
    if (!latePage || !(error instanceof PageError) || error.errorCategory !== 'unavailable') throw error;
    raise(error.message);
    latePage.waits(error.message);
  }
  let late: ServedPage | undefined;
  let closed = false;
  let timer: NodeJS.Timeout | undefined;
  let trying: Promise<void> | undefined;
  const tryAgain = async (): Promise<void> => {
    try {
      late = await serve();
      alerts.clear(id);
      latePage.served(late.url);
    } catch (error) {
      raise((error as Error).message);
      if (!closed) wait();
    }
  };
  const wait = () => {
    timer = setTimeout(() => {
      trying = tryAgain();
    }, againMs);
  };
  wait();
  return {
    url: undefined,
    close: async () => {
      closed = true;
      clearTimeout(timer);
      await trying;
      await late?.close();
    },
  };
}
