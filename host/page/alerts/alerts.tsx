import type { AlertNow } from '../../serve/now.js';
import { route } from '../frame/route.js';
import { now } from '../link/stream.js';
import { calibrating } from '../look/calibrating.js';
import { AlertCard } from './alert-card.js';
import { AlertLine } from './alert-line.js';
import { activeAlerts, keyOf } from './in-words.js';

/** Alarms whole on every screen, and the first warning on Now when there is no alarm. */
export const wholeAlerts = (): readonly AlertNow[] => {
  const active = activeAlerts().filter((alert) => !isInBath(alert));
  const alarms = active.filter(({ priority }) => priority === 'alarm');
  const [first] = active;
  if (alarms.length > 0 || route.value.screen !== 'now' || !first) return alarms;
  // A warning that comes without an instruction of a few words is a line.
  return first.priority === 'warning' && first.instruction ? [first] : [];
};

/** A probe of a calibration session may be hot while its engine is off: its alert is a line, with the buzzer's button. */
const isInBath = ({ probe, engine }: AlertNow): boolean =>
  probe !== undefined &&
  calibrating.value.includes(probe) &&
  now.value?.engines.find(({ id }) => id === engine)?.running !== true;

/** The cards, above everything else on the page. */
export const AlertCards = () => {
  const whole = wholeAlerts();
  if (!now.value || !whole.length) return null;
  const { at } = now.value;
  return (
    <section class="alerts" aria-label={`To act on: ${whole.length}`}>
      {whole.map((alert) => (
        <AlertCard key={keyOf(alert)} alert={alert} atMs={at} />
      ))}
    </section>
  );
};

/** The other alerts as lines; those that have ended are folded. */
export const AlertLines = () => {
  if (!now.value) return null;
  const { alerts, at } = now.value;
  const whole = wholeAlerts();
  const lines = activeAlerts().filter((alert) => !whole.includes(alert));
  const ended = alerts.filter(({ state }) => state === 'rectified');
  if (!lines.length && !ended.length) return null;
  return (
    <section class="alerts" aria-label={`Alerts: ${alerts.length}`}>
      {lines.map((alert) => (
        <AlertLine key={keyOf(alert)} alert={alert} atMs={at} />
      ))}
      {ended.length === 1 && ended[0] && <AlertLine key={keyOf(ended[0])} alert={ended[0]} atMs={at} />}
      {ended.length > 1 && <Ended alerts={ended} atMs={at} />}
    </section>
  );
};

/**
 * Alerts that have ended are folded, so that active ones are seen; opened, each is read and acknowledged by itself. There is
 * no button for all of them: to acknowledge is to say that this alert was seen (MSC.302(87), from memory).
 */
const Ended = ({ alerts, atMs }: { readonly alerts: readonly AlertNow[]; readonly atMs: number }) => (
  <details class="ended">
    <summary>
      {alerts.length} alerts have ended and wait to be acknowledged, the worst{' '}
      {alerts[0]?.priority === 'alarm' ? 'an' : 'a'} {alerts[0]?.priority}
    </summary>
    {alerts.map((alert) => (
      <AlertLine key={keyOf(alert)} alert={alert} atMs={atMs} />
    ))}
  </details>
);

/** In the head, when it is known that there are none. */
export const NoAlerts = () => (now.value?.alerts.length === 0 ? <span class="none">No alerts</span> : null);
