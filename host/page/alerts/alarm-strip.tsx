import type { AlertNow } from '../../serve/now.js';
import { Button } from '../look/button.js';
import { activeAlerts, cardId, keyOf, readingOf, whose } from './in-words.js';

/** Every active alarm, and every warning that waits, in one line at the top edge wherever the page is scrolled. */
export const AlarmStrip = () => {
  const active = activeAlerts();
  const alarms = active.filter(({ priority }) => priority === 'alarm');
  const warnings = active.filter((one) => one.priority === 'warning' && one.state === 'unacknowledged');
  if (!alarms.length && !warnings.length) return null;
  return (
    <nav class="alarm-strip" aria-label="Active alerts">
      <Entries word="alarm" alerts={alarms} />
      <Entries word="warning" alerts={warnings} />
    </nav>
  );
};

type Props = { readonly word: 'alarm' | 'warning'; readonly alerts: readonly AlertNow[] };

const Entries = ({ word, alerts }: Props) =>
  alerts.length === 0 ? null : (
    <p class={word}>
      <b>
        {alerts.length} {word}
        {alerts.length > 1 ? 's' : ''}
      </b>
      {alerts.map((alert) => (
        <Button key={keyOf(alert)} class={alert.state} onClick={() => show(alert)}>
          {whose(alert).shortName} <b>{readingOf(alert)?.degrees}</b>
        </Button>
      ))}
    </p>
  );

const show = (alert: AlertNow) => {
  const card = document.getElementById(cardId(alert));
  card?.scrollIntoView();
  card?.focus({ preventScroll: true });
};
