import { link, now } from '../link/stream.js';
import { AlertCard } from './alert-card.js';

/** The standing alerts, gravest first, on every screen. */
export const AlertBand = () => {
  const alerts = now.value?.alerts ?? [];
  if (!now.value) return null;
  const nodes = now.value.nodes.filter((node) => node.node !== 'host');
  const known = link.value === 'live' && nodes.length > 0 && nodes.every((node) => node.connected);
  const standing = alerts.filter((alert) => alert.state !== 'rectified');
  const first = standing.find((alert) => alert.state === 'unacknowledged') ?? standing[0];
  if (!alerts.length)
    return (
      <section class="alerts none" aria-label="Standing alerts">
        <p>
          {known
            ? 'No alerts stand.'
            : 'Not known whether alerts stand. The buzzer at the board follows its node, not this page.'}
        </p>
      </section>
    );
  return (
    <section class="alerts" aria-label={`Standing alerts: ${alerts.length}`}>
      {alerts.map((alert) => (
        <AlertCard
          key={`${alert.node}/${alert.id}`}
          alert={alert}
          atMs={now.value?.at ?? alert.since}
          whole={alert === first}
        />
      ))}
    </section>
  );
};
