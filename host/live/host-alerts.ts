import type { AlertCommand, AlertRow, Clock } from '../../node/index.js';

/** The name under which the host's own alerts appear beside those of the nodes. */
export const hostNode = 'host';

type Trouble = Pick<AlertRow, 'id' | 'rule' | 'priority' | 'message' | 'actions'>;

const silenceMs = 30_000;

/**
 * Alerts of the host itself, such as a full disk. They sound nothing: the buzzer is the node's. One that ends
 * before anybody acknowledged it stays as rectified until somebody does, so that it is not missed.
 */
export class HostAlerts {
  private readonly standing = new Map<string, AlertRow>();
  private readonly clock: Clock;
  private readonly changed: () => void;

  constructor(clock: Clock, changed: () => void) {
    this.clock = clock;
    this.changed = changed;
  }

  alerts(): readonly AlertRow[] {
    return [...this.standing.values()];
  }

  raise(trouble: Trouble): void {
    const known = this.standing.get(trouble.id);
    if (known && known.state !== 'rectified' && known.message === trouble.message) return;
    const isActive = known && known.state !== 'rectified';
    this.put({
      ...trouble,
      state: isActive ? known.state : 'unacknowledged',
      since: isActive ? known.since : this.clock.wallMs(),
      evidence: { values: {}, thresholds: {} },
    });
  }

  clear(id: string): void {
    const known = this.standing.get(id);
    if (!known || known.state === 'rectified') return;
    if (known.state === 'unacknowledged')
      this.put({ ...known, state: 'rectified', rectifiedAt: this.clock.wallMs() });
    else this.drop(id);
  }

  command({ do: doing, alertId }: AlertCommand): { readonly ok: boolean; readonly detail: string } {
    const known = this.standing.get(alertId);
    if (!known) return { ok: false, detail: `${alertId} does not stand.` };
    const now = this.clock.wallMs();
    if (doing === 'silence') this.put({ ...known, silencedUntil: now + silenceMs });
    else if (doing !== 'acknowledge')
      return { ok: false, detail: 'Alerts of the host can be acknowledged and silenced.' };
    else if (known.state === 'rectified') this.drop(alertId);
    else this.put({ ...known, state: 'acknowledged', acknowledgedAt: now });
    return { ok: true, detail: `${alertId}: done.` };
  }

  private put(alert: AlertRow): void {
    this.standing.set(alert.id, alert);
    this.changed();
  }

  private drop(id: string): void {
    this.standing.delete(id);
    this.changed();
  }
}
