import { useSignal } from '@preact/signals';
import type { AlertNow } from '../../serve/now.js';
import { act } from '../link/act.js';
import { mayAct, session } from '../link/session.js';
import { Button } from '../look/button.js';
import { cardId, outOfReach } from './in-words.js';

export type Doing = 'acknowledge' | 'silence';

/** One acknowledgement an alert: what was acknowledged while it was active is not asked about again when it ends. */
export const waitsForSomebody = ({ state, acknowledgedAt }: Pick<AlertNow, 'state' | 'acknowledgedAt'>) =>
  state === 'unacknowledged' || (state === 'rectified' && acknowledgedAt === undefined);
export const sounds = ({ state, priority }: AlertNow): boolean =>
  state === 'unacknowledged' && priority !== 'caution';

/** Sends it to the node that owns the alert. The focus stays at the alert: its button may be gone after this. */
export const actOn = async (alert: AlertNow, doing: Doing): Promise<string> => {
  const outcome = await act(
    `api/nodes/${encodeURIComponent(alert.node)}/alerts/${encodeURIComponent(alert.id)}/${doing}`,
  );
  if (outcome.ok && doing === 'acknowledge') document.getElementById(cardId(alert))?.focus();
  return outcome.ok ? '' : outcome.message;
};

type Props = { readonly alert: AlertNow; readonly atMs: number; readonly keys?: boolean };

/**
 * Acknowledge at the left and square, Silence at the right and round: a hand on a moving boat must not take one for the
 * other. What cannot work is disabled and says why; a refusal of the node appears below.
 */
export const AlertHands = ({ alert, atMs, keys = false }: Props) => {
  const answer = useSignal('');
  const busy = useSignal(false);
  if (!mayAct()) return <MayNotAct />;
  const unreachable = outOfReach(alert);
  const silencedS =
    alert.silencedUntil !== undefined && !unreachable ? (alert.silencedUntil - atMs) / 1000 : 0;
  const send = async (doing: Doing) => {
    busy.value = true;
    answer.value = await actOn(alert, doing);
    busy.value = false;
  };
  const off = busy.value || unreachable !== undefined;
  return (
    <div class="hands">
      {waitsForSomebody(alert) && (
        <Button class="acknowledge" disabled={off} onClick={() => send('acknowledge')}>
          Acknowledge{keys && <kbd>F8</kbd>}
        </Button>
      )}
      {sounds(alert) && (
        <Button class="silence" disabled={off || silencedS > 0} onClick={() => send('silence')}>
          {silencedS > 0 ? `Silent ${Math.ceil(silencedS)} s` : 'Silence'}
          {keys && silencedS <= 0 && <kbd>F2</kbd>}
        </Button>
      )}
      {unreachable && (waitsForSomebody(alert) || sounds(alert)) && <p class="refused">{unreachable}</p>}
      {answer.value && (
        <p role="alert" class="refused">
          {answer.value}
        </p>
      )}
    </div>
  );
};

/** Why there are no buttons; at the helm that matters as much as the alert. */
const MayNotAct = () => (
  <p class="hands">
    {session.value?.noOneMayAct
      ? 'No one can acknowledge: there is no pass-phrase to act. On the boat’s computer: elbowroom access --role act'
      : 'You are signed in to watch. To acknowledge, sign in with the pass-phrase to act.'}
  </p>
);
