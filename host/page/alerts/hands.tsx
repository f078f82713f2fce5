import { useSignal } from '@preact/signals';
import type { AlertNow } from '../../serve/now.js';
import { act } from '../link/act.js';
import { mayAct, session } from '../link/session.js';

/** The two things a hand can do to an alert; the answer of the node, when it is no, stands below. */
export const AlertHands = ({ alert, atMs }: { readonly alert: AlertNow; readonly atMs: number }) => {
  const answer = useSignal('');
  const busy = useSignal(false);
  if (!mayAct()) return <MayNotAct />;
  const silencedS = alert.silencedUntil !== undefined ? (alert.silencedUntil - atMs) / 1000 : 0;
  const send = async (doing: 'acknowledge' | 'silence') => {
    busy.value = true;
    const outcome = await act(
      `api/nodes/${encodeURIComponent(alert.node)}/alerts/${encodeURIComponent(alert.id)}/${doing}`,
    );
    answer.value = outcome.ok ? '' : outcome.message;
    busy.value = false;
  };
  return (
    <div class="hands">
      {waitsForSomebody(alert) && (
        <button type="button" class="strong" disabled={busy.value} onClick={() => send('acknowledge')}>
          Acknowledge
        </button>
      )}
      {alert.state === 'unacknowledged' && alert.priority !== 'caution' && (
        <button type="button" disabled={busy.value || silencedS > 0} onClick={() => send('silence')}>
          {silencedS > 0 ? `Silent for ${Math.ceil(silencedS)} s` : 'Silence 30 s'}
        </button>
      )}
      {answer.value && (
        <p role="alert" class="refused">
          {answer.value}
        </p>
      )}
    </div>
  );
};

/** One acknowledgement an alert: what was acknowledged while it was active is not asked about again when it ends. */
export const waitsForSomebody = ({ state, acknowledgedAt }: Pick<AlertNow, 'state' | 'acknowledgedAt'>) =>
  state === 'unacknowledged' || (state === 'rectified' && acknowledgedAt === undefined);

/** Why there are no hands; at the helm that matters as much as the alert. */
const MayNotAct = () => (
  <p class="hands">
    {session.value?.nobodyMayAct
      ? 'Nobody may acknowledge: only a pass-phrase to watch was set. On the boat’s computer: elbowroom access --role act'
      : 'You came in to watch. To acknowledge, leave and come in with the pass-phrase to act.'}
  </p>
);
