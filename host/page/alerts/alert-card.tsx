import { useSignal } from '@preact/signals';
import { useId, useState } from 'preact/hooks';
import type { AlertNow } from '../../serve/now.js';
import { instructionText } from '../../wording/instruction.js';
import { link } from '../link/stream.js';
import { Arrow } from '../look/arrow.js';
import { Button } from '../look/button.js';
import { clockText, spanText } from '../look/moments.js';
import { readable } from '../look/readable.js';
import { AlertMark } from './alert-mark.js';
import { Evidence } from './evidence.js';
import { AlertHands } from './hands.js';
import { cardId, readingOf, whose } from './in-words.js';
import { keyed } from './keys.js';
import { stateWords } from './state-words.js';

type Props = { readonly alert: AlertNow; readonly atMs: number };

/** At most this many steps before "More". */
const firstSteps = 3;
/** Letters that fit beside the temperature at 1024 x 600. A longer name would push the buttons off that screen. */
const longestWho = 12;

/**
 * One alert for somebody three metres away: which engine, what to do, how hot against which limit; three short steps
 * and two buttons. The reason, the time, the whole list and the numbers are one touch further.
 */
export const AlertCard = ({ alert, atMs }: Props) => {
  const more = useSignal(false);
  const moreId = useId();
  const { name, shortName } = whose(alert);
  const steps = alert.actions.slice(0, firstSteps);
  return (
    <article
      id={cardId(alert)}
      tabIndex={-1}
      class={`alert card ${alert.priority} ${alert.state}`}
      aria-label={`${alert.priority}: ${instructionText(alert, name) || readable(alert.message)}`}
    >
      <header>
        <Reading alert={alert} />
        <h2 class={alert.instruction ? 'order' : 'sentence'}>
          {alert.instruction && name && (
            <span class="who">{name.length > longestWho ? shortName : name}: </span>
          )}
          {alert.instruction ?? readable(alert.message)}
        </h2>
      </header>
      {alert.priority === 'alarm' && alert.state === 'unacknowledged' && (
        <Announced
          key={`${alert.since}${alert.instruction}`}
          message={`${instructionText(alert, name)}. ${alert.message}`}
        />
      )}
      {steps.length > 0 && (
        <ol aria-label="What to do now">
          {steps.map((step) => (
            <li key={step}>{readable(step)}</li>
          ))}
        </ol>
      )}
      <div class="foot">
        <AlertHands alert={alert} atMs={atMs} keys={keyed('acknowledge') === alert} />
        <Button
          class="more-button"
          aria-expanded={more.value}
          aria-controls={moreId}
          onClick={() => {
            more.value = !more.value;
          }}
        >
          {more.value ? 'Less' : 'More'}
        </Button>
        <p class="grade">
          <AlertMark priority={alert.priority} />
          {alert.priority}
        </p>
      </div>
      <div id={moreId} class="more" hidden={!more.value}>
        <p>
          <b>{alert.priority}</b>, {stateWords[alert.state]}, since {clockText(alert.since)}
          {link.value === 'live' && `, for ${spanText((atMs - alert.since) / 1000)}`}.
        </p>
        {alert.instruction && <p>{readable(alert.message)}</p>}
        <ol start={firstSteps + 1}>
          {alert.actions.slice(firstSteps).map((action) => (
            <li key={action}>{readable(action)}</li>
          ))}
        </ol>
        <Evidence evidence={alert.evidence} rule={alert.rule} />
      </div>
    </article>
  );
};

/** The real temperature of the probe against its limit. */
const Reading = ({ alert }: { readonly alert: AlertNow }) => {
  const reading = readingOf(alert);
  if (!reading) return null;
  return (
    <p class="reading">
      <span class="degrees">
        <b>{reading.degrees}</b>
        <Arrow trend={reading.trend} />
      </span>
      {reading.limit && <span class="limit">limit {reading.limit}</span>}
    </p>
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
