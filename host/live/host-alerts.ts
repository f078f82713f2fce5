import {
  type AlertCommand,
  type AlertRow,
  alertStateOf,
  type Clock,
  type LifeState,
  nextLifeState,
  silenceS,
} from '../../node/index.js';

/** The name under which the host's own alerts appear beside those of the nodes. */
export const hostNode = 'host';

type Trouble = Pick<AlertRow, 'id' | 'rule' | 'priority' | 'message' | 'actions'>;
type Kept = { readonly life: LifeState; readonly alert: AlertRow };

const isOver = ({ life }: Kept): boolean => life.startsWith('rectified');

/**
 * Alerts of the host itself, such as a full disk, with the life cycle of the node's. They make no sound: the buzzer is
 * the node's. One that ends unacknowledged stays in view until it is acknowledged; nothing is shelved, and what is
 * over and acknowledged leaves at once.
 */
export class HostAlerts {
  private readonly kept = new Map<string, Kept>();
  private readonly clock: Clock;
  private readonly changed: () => void;

  constructor(clock: Clock, changed: () => void) {
    this.clock = clock;
    this.changed = changed;
  }

  alerts(): readonly AlertRow[] {
    return [...this.kept.values()].map(({ alert }) => alert);
  }

  raise(trouble: Trouble): void {
    const known = this.kept.get(trouble.id);
    const active = known && !isOver(known) ? known : undefined;
    if (active?.alert.message === trouble.message) return;
    const { state, since } = active?.alert ?? { state: 'unacknowledged', since: this.clock.wallMs() };
    this.put({
      life: nextLifeState(known?.life ?? 'normal', 'occur'),
      alert: { ...trouble, state, since, evidence: { values: {}, thresholds: {} } },
    });
  }

  clear(id: string): void {
    const known = this.kept.get(id);
    if (known && !isOver(known)) this.move(known, 'rectify', { rectifiedAt: this.clock.wallMs() });
  }

  command({ do: doing, alertId }: AlertCommand): { readonly ok: boolean; readonly detail: string } {
    const known = this.kept.get(alertId);
    if (!known) return { ok: false, detail: `There is no alert ${alertId}.` };
    const now = this.clock.wallMs();
    if (doing === 'acknowledge') this.move(known, doing, { acknowledgedAt: now });
    else if (doing === 'silence') this.move(known, doing, { silencedUntil: now + silenceS * 1000 });
    else return { ok: false, detail: 'Alerts of the host can be acknowledged and silenced.' };
    return { ok: true, detail: `${alertId}: done.` };
  }

  private move(kept: Kept, event: 'rectify' | 'acknowledge' | 'silence', times: Partial<AlertRow>): void {
    const life = nextLifeState(kept.life, event);
    if (life === 'normal' || life === 'rectified-acknowledged') {
      this.kept.delete(kept.alert.id);
      this.changed();
    } else this.put({ life, alert: { ...kept.alert, ...times, state: alertStateOf(life) } });
  }

  private put(kept: Kept): void {
    this.kept.set(kept.alert.id, kept);
    this.changed();
  }
}
