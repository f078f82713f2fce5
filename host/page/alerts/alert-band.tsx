import type { AlertNow } from '../../serve/now.js';
import { route } from '../frame/route.js';
import { act } from '../link/act.js';
import { mayAct } from '../link/session.js';
import { link, now } from '../link/stream.js';
import { AlertCard } from './alert-card.js';
import { AlertLine } from './alert-line.js';

/** The standing alerts, gravest first, on every screen: the first whole on Now, the others as lines; what is over folds away. */
export const AlertBand = () => {
  if (!now.value) return null;
  const { alerts, at } = now.value;
  if (!alerts.length) return <NoAlerts />;
  const standing = alerts.filter((alert) => alert.state !== 'rectified');
  const over = alerts.filter((alert) => alert.state === 'rectified');
  const first = standing.find((alert) => alert.state === 'unacknowledged') ?? standing[0];
  const whole = first && (route.value.screen === 'now' || first.priority === 'alarm') ? first : undefined;
  return (
    <section class="alerts" aria-label={`Alerts: ${alerts.length}`}>
      {whole && <AlertCard key={keyOf(whole)} alert={whole} atMs={at} />}
      {standing
        .filter((alert) => alert !== whole)
        .map((alert) => (
          <AlertLine key={keyOf(alert)} alert={alert} atMs={at} />
        ))}
      {over.length === 1 && over[0] && <AlertLine key={keyOf(over[0])} alert={over[0]} atMs={at} />}
      {over.length > 1 && <Over alerts={over} atMs={at} />}
    </section>
  );
};

const keyOf = (alert: AlertNow) => `${alert.node}/${alert.id}`;

/** What is over may be cleared together; what stands is acknowledged one by one. */
const Over = ({ alerts, atMs }: { readonly alerts: readonly AlertNow[]; readonly atMs: number }) => (
  <div class="over">
    <details>
      <summary>
        {alerts.length} alerts are over and wait to be acknowledged, the gravest a {alerts[0]?.priority}
      </summary>
      {alerts.map((alert) => (
        <AlertLine key={keyOf(alert)} alert={alert} atMs={atMs} />
      ))}
    </details>
    {mayAct() && (
      <button
        type="button"
        onClick={() => {
          for (const { id } of alerts) void act(`api/alerts/${encodeURIComponent(id)}/acknowledge`);
        }}
      >
        Acknowledge all {alerts.length}
      </button>
    )}
  </div>
);

const NoAlerts = () => {
  const nodes = now.value?.nodes.filter((node) => node.node !== 'host') ?? [];
  const known = link.value === 'live' && nodes.length > 0 && nodes.every((node) => node.connected);
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
