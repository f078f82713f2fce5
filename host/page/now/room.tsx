import type { AlertNow, ProbeNow } from '../../serve/now.js';
import { activeAlerts } from '../alerts/in-words.js';
import { placeOf } from '../link/place-of.js';
import { degrees, degreesText, spanDegrees, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';
import { missingWords } from '../look/words.js';

/** The wet elbow of an engine that is nearest to its limit; another limited probe only on an engine without an elbow probe. */
export const guardedProbe = (probes: readonly ProbeNow[]): ProbeNow | undefined => {
  const limited = probes.filter(({ limits }) => limits.alarm || limits.warning);
  const elbows = limited.filter(({ place }) => place === 'wet-elbow');
  const from = elbows.length ? elbows : limited;
  return from.reduce<ProbeNow | undefined>(
    (least, probe) =>
      !least || (probe.roomC ?? Number.POSITIVE_INFINITY) < (least.roomC ?? Number.POSITIVE_INFINITY)
        ? probe
        : least,
    undefined,
  );
};

/** The most severe active alert of an engine decides the colour of its figure. */
export const mostSevere = (alerts: readonly AlertNow[], engine: string): AlertNow['priority'] | undefined =>
  (['alarm', 'warning'] as const).find((priority) =>
    alerts.some((alert) => alert.engine === engine && alert.priority === priority),
  );

type Props = { readonly engine: string; readonly probes: readonly ProbeNow[] };

/**
 * One figure with one meaning: how far the elbow is below its alarm limit. From the moment of the alarm, and whenever
 * nothing is left below the limit, the real temperature against it. Red only while an alarm is active.
 */
export const Room = ({ engine, probes }: Props) => {
  const probe = guardedProbe(probes);
  const unseen = probes.filter(
    (one) => one !== probe && one.quality !== 'good' && (one.limits.alarm || one.place === 'dry-exhaust'),
  );
  const grade = mostSevere(activeAlerts(), engine) ?? 'calm';
  if (probe?.roomC === undefined || probe.temperatureC === undefined) return <NotKnown probe={probe} />;
  const limitC = probe.temperatureC + probe.roomC;
  const real = grade === 'alarm' || probe.roomC <= 0;
  return (
    <div class={`room ${grade}`}>
      <p class="figure">
        {real ? degrees(probe.temperatureC, 0) : spanDegrees(probe.roomC)}
        <small>{unitSign()}</small>
      </p>
      <p class="meaning">
        <b>{real ? `limit ${degreesText(limitC, 0)}` : `below ${probe.roomTo}`}</b>
        <span>{real ? placeOf(probe) : `${placeOf(probe)}, limit ${degreesText(limitC, 0)}`}</span>
        {!real && probe.roomS !== undefined && <b class="left">{spanText(probe.roomS)} left</b>}
        {unseen.length > 0 && <b class="unseen-probes">{unseen.map(placeOf).join(', ')} not seen</b>}
      </p>
    </div>
  );
};

const NotKnown = ({ probe }: { readonly probe: ProbeNow | undefined }) => (
  <div class="room unknown">
    <p class="figure">––</p>
    <p class="meaning">
      <b>Room not known</b>
      <span>
        {!probe
          ? 'No probe here has a limit.'
          : `${placeOf(probe)}: ${probe.quality === 'good' ? 'no limit' : missingWords[probe.quality]}`}
      </span>
    </p>
  </div>
);
