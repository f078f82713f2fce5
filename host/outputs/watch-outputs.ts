import type { HostAlerts } from '../live/host-alerts.js';
import type { OutputStatus } from '../live/output-status.js';

const id = 'host-outputs:not-delivered';

/** One lost packet is no news; this many failures without a success since are. */
export const worthTelling = 5;

/**
 * Returns a function to call with every output's counts: it makes an output that keeps failing an alert of the host,
 * named with its reason, and ends it when one gets through.
 */
export const watchOutputs = (
  own: Pick<HostAlerts, 'raise' | 'clear'>,
): ((statuses: readonly OutputStatus[]) => void) => {
  /** By name: what had been sent, and what had failed when that last grew. */
  const successes = new Map<string, { readonly sent: number; readonly failed: number }>();
  const isFailing = ({ name, sent, failed, lastError }: OutputStatus): boolean => {
    const last = successes.get(name) ?? { sent: 0, failed: 0 };
    if (sent > last.sent) successes.set(name, { sent, failed });
    const failedSince = sent > last.sent ? 0 : failed - last.failed;
    return failedSince >= worthTelling && lastError !== undefined;
  };
  return (statuses) => report(statuses.filter(isFailing), own);
};

const report = (failing: readonly OutputStatus[], own: Pick<HostAlerts, 'raise' | 'clear'>): void => {
  if (failing.length === 0) {
    own.clear(id);
    return;
  }
  own.raise({
    id,
    rule: 'outputs-not-delivered',
    priority: 'caution',
    message: `Does not get through: ${failing.map((s) => `${s.name} (${s.lastError})`).join('; ')}`,
    actions: [
      'Do not count on a message ashore until this has ended.',
      'Look at the network, then run: elbowroom outputs --test',
    ],
  });
};
