import type { HostAlerts } from '../live/host-alerts.js';
import type { OutputStatus } from '../live/output-status.js';

const id = 'host-outputs:not-delivered';

/** One lost packet is the sea's business; so many failures without a success since are the owner's. */
export const worthTelling = 5;

/** Makes an output that keeps failing an alert of the host, named with its reason, and ends it when one gets through. */
export const watchOutputs = (
  statuses: readonly OutputStatus[],
  own: Pick<HostAlerts, 'raise' | 'clear'>,
): void => {
  const failing = statuses.filter((s) => s.failed >= worthTelling && s.lastError !== undefined);
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
