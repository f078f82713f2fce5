import { useSignal } from '@preact/signals';
import type { AlertNow } from '../../serve/now.js';
import { act } from '../link/act.js';
import { mayAct } from '../link/session.js';
import { clockText, spanText } from '../look/moments.js';
import { AlertMark } from './alert-mark.js';
import { Evidence } from './evidence.js';

const stateWords = {
  unacknowledged: 'not acknowledged',
  acknowledged: 'acknowledged, still standing',
  rectified: 'rectified: acknowledge to clear',
} as const;

type Props = {
  readonly alert: AlertNow;
  readonly atMs: number;
  /** What to do stands open; on the others it is one touch away, so that the figures stay in view. */
  readonly whole: boolean;
};

/** One alert: how grave, what happened, since when, what to do now in order, and the two things a hand can do. */
export const AlertCard = ({ alert, atMs, whole }: Props) => {
  const answer = useSignal('');
  const busy = useSignal(false);
  const silencedS = alert.silencedUntil !== undefined ? (alert.silencedUntil - atMs) / 1000 : 0;
  const send = async (doing: 'acknowledge' | 'silence') => {
    busy.value = true;
    const outcome = await act(`api/alerts/${encodeURIComponent(alert.id)}/${doing}`);
    answer.value = outcome.ok ? '' : outcome.message;
    busy.value = false;
  };
  return (
    <article
      class={`alert ${alert.priority} ${alert.state}`}
      aria-label={`${alert.priority}: ${alert.message}`}
    >
      <header>
        <AlertMark priority={alert.priority} />
        <p class="grade">
          <b>{alert.priority}</b>
          <span>{stateWords[alert.state]}</span>
        </p>
        <p class="since">
          since {clockText(alert.since)}
          <span>{spanText((atMs - alert.since) / 1000)}</span>
        </p>
      </header>
      <h2 role={alert.priority === 'alarm' ? 'alert' : undefined}>{alert.message}</h2>
      <div class="told">
        {whole && <Actions actions={alert.actions} />}
        <details>
          <summary>{whole ? 'Why' : 'What to do, and why'}</summary>
          {!whole && <Actions actions={alert.actions} />}
          <Evidence evidence={alert.evidence} rule={alert.rule} />
        </details>
      </div>
      <div class="hands">
        {mayAct() && alert.state !== 'acknowledged' && (
          <button type="button" class="strong" disabled={busy.value} onClick={() => send('acknowledge')}>
            Acknowledge
          </button>
        )}
        {mayAct() && alert.state === 'unacknowledged' && alert.priority !== 'caution' && (
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
    </article>
  );
};

const Actions = ({ actions }: { readonly actions: readonly string[] }) =>
  actions.length ? (
    <ol aria-label="What to do now">
      {actions.map((action) => (
        <li key={action}>{action}</li>
      ))}
    </ol>
  ) : null;
