import type { AlertNow } from '../../serve/now.js';
import { clockText } from '../look/moments.js';
import { readable } from '../look/readable.js';
import { Actions } from './actions.js';
import { AlertMark } from './alert-mark.js';
import { Evidence } from './evidence.js';
import { AlertHands } from './hands.js';
import { stateWords } from './state-words.js';

/** One alert in one line; what to do and why are one touch away. */
export const AlertLine = ({ alert, atMs }: { readonly alert: AlertNow; readonly atMs: number }) => (
  <article
    class={`alert line ${alert.priority} ${alert.state}`}
    aria-label={`${alert.priority}: ${alert.message}`}
  >
    <AlertMark priority={alert.priority} />
    <details>
      <summary>
        <b>{alert.priority}</b> {readable(alert.message)}
      </summary>
      <Actions actions={alert.actions} />
      <Evidence evidence={alert.evidence} rule={alert.rule} />
    </details>
    <p class="since">
      {clockText(alert.since)} <span>{stateWords[alert.state]}</span>
    </p>
    <AlertHands alert={alert} atMs={atMs} />
  </article>
);
