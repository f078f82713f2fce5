import type { AlertNow } from '../../serve/now.js';
import { instructionText } from '../../wording/instruction.js';
import { clockText } from '../look/moments.js';
import { readable } from '../look/readable.js';
import { AlertMark } from './alert-mark.js';
import { Evidence } from './evidence.js';
import { AlertHands } from './hands.js';
import { cardId, whose } from './in-words.js';
import { stateWords } from './state-words.js';

/** One alert in one line; what to do and why open with one touch. */
export const AlertLine = ({ alert, atMs }: { readonly alert: AlertNow; readonly atMs: number }) => {
  const order = alert.state === 'rectified' ? '' : instructionText(alert, whose(alert).name);
  return (
    <article
      id={cardId(alert)}
      tabIndex={-1}
      class={`alert line ${alert.priority} ${alert.state}`}
      aria-label={`${alert.priority}: ${alert.message}`}
    >
      <AlertMark priority={alert.priority} />
      <details>
        <summary>
          <span>
            <b class="grade">{alert.priority}</b> {order && <b>{order}. </b>}
            {readable(alert.message)}
          </span>
        </summary>
        <ol>
          {alert.actions.map((action) => (
            <li key={action}>{readable(action)}</li>
          ))}
        </ol>
        <Evidence evidence={alert.evidence} rule={alert.rule} />
      </details>
      <p class="since">
        {clockText(alert.since)} <span>{stateWords[alert.state]}</span>
      </p>
      <AlertHands alert={alert} atMs={atMs} />
    </article>
  );
};
