import { useSignal } from '@preact/signals';
import { useId, useState } from 'preact/hooks';
import type { AlertNow } from '../../serve/now.js';
import { now } from '../link/stream.js';
import { degreesText } from '../look/degrees.js';
import { clockText, spanText } from '../look/moments.js';
import { readable } from '../look/readable.js';
import { Actions } from './actions.js';
import { AlertMark } from './alert-mark.js';
import { Evidence } from './evidence.js';
import { AlertHands } from './hands.js';
import { stateWords } from './state-words.js';

type Props = { readonly alert: AlertNow; readonly atMs: number };

/** One alert, whole: how grave, what happened, since when, what to do now in order, and what a hand can do about it. */
export const AlertCard = ({ alert, atMs }: Props) => {
  const why = useSignal(false);
  const whyId = useId();
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
          <NowAt probe={alert.probe} />
          since {clockText(alert.since)}
          <span>{spanText((atMs - alert.since) / 1000)}</span>
        </p>
      </header>
      <h2>{readable(alert.message)}</h2>
      {alert.priority === 'alarm' && alert.state === 'unacknowledged' && (
        <Announced key={alert.since} message={alert.message} />
      )}
      <div class="told">
        <Actions actions={alert.actions} />
      </div>
      <div class="side">
        <AlertHands alert={alert} atMs={atMs} />
        <button
          type="button"
          aria-expanded={why.value}
          aria-controls={whyId}
          onClick={() => {
            why.value = !why.value;
          }}
        >
          Why
        </button>
      </div>
      <div id={whyId} class="why" hidden={!why.value}>
        <Evidence evidence={alert.evidence} rule={alert.rule} />
      </div>
    </article>
  );
};

/** Read out once: the sentence follows the temperature, and a voice that repeats it every second says nothing. */
const Announced = ({ message }: { readonly message: string }) => {
  const [first] = useState(message);
  return (
    <p role="alert" class="unseen">
      Alarm. {readable(first)}
    </p>
  );
};

/** The probe's present figure, large, whichever figures the sentence names. */
const NowAt = ({ probe }: { readonly probe: string | undefined }) => {
  const seen = now.value?.probes.find((p) => p.id === probe && p.quality === 'good');
  return seen?.temperatureC === undefined ? null : <b class="now-at">now {degreesText(seen.temperatureC)}</b>;
};
