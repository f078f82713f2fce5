import type { AlertNow } from '../../serve/now.js';
import { route } from '../frame/route.js';
import { link, now } from '../link/stream.js';
import { AlertCard } from './alert-card.js';
import { AlertLine } from './alert-line.js';

/** Which alerts are seen how: the first whole on Now (an alarm on every screen), the others as lines, what is over apart. */
export const alertsInView = () => {
  const alerts = now.value?.alerts ?? [];
  const standing = alerts.filter((alert) => alert.state !== 'rectified');
  const over = alerts.filter((alert) => alert.state === 'rectified');
  const first = standing.find((alert) => alert.state === 'unacknowledged') ?? standing[0];
  const whole = first && (route.value.screen === 'now' || first.priority === 'alarm') ? first : undefined;
  return { whole, lines: standing.filter((alert) => alert !== whole), over };
};

/** The standing alerts, gravest first, on every screen. */
export const AlertBand = () => {
  if (!now.value) return null;
  const { alerts, at } = now.value;
  if (!alerts.length) return <NoAlerts />;
  const { whole, lines, over } = alertsInView();
  return (
    <section class="alerts" aria-label={`Alerts: ${alerts.length}`}>
      {whole && <AlertCard key={keyOf(whole)} alert={whole} atMs={at} />}
      {lines.map((alert) => (
        <AlertLine key={keyOf(alert)} alert={alert} atMs={at} />
      ))}
      {over.length === 1 && over[0] && <AlertLine key={keyOf(over[0])} alert={over[0]} atMs={at} />}
      {over.length > 1 && <Over alerts={over} atMs={at} />}
    </section>
  );
};

const keyOf = (alert: AlertNow) => `${alert.node}/${alert.id}`;

/**
 * What is over folds away, so that what stands is seen; opened, each is read and acknowledged by itself. There is
 * no button for all of them: to acknowledge is to say that this alert was seen (MSC.302(87), from memory).
 */
const Over = ({ alerts, atMs }: { readonly alerts: readonly AlertNow[]; readonly atMs: number }) => (
  <details class="over">
    <summary>
      {alerts.length} alerts are over and wait to be acknowledged, the gravest{' '}
      {alerts[0]?.priority === 'alarm' ? 'an' : 'a'} {alerts[0]?.priority}
    </summary>
    {alerts.map((alert) => (
      <AlertLine key={keyOf(alert)} alert={alert} atMs={atMs} />
    ))}
  </details>
);

const NoAlerts = () => {
  const nodes = now.value?.nodes.filter((node) => node.node !== 'host') ?? [];
  const known =
    link.value === 'live' &&
    nodes.length > 0 &&
    nodes.every((node) => node.connected && node.board === 'connected');
  return (
    <section class="alerts none" aria-label="Alerts">
      <p>
        {known
          ? 'No alerts stand.'
          : 'Not known whether alerts stand. The buzzer at the board follows its node, not this page.'}
      </p>
    </section>
  );
};
