import type { EngineNow, ProbeNow } from '../../serve/now.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { engineClass } from '../look/engines.js';
import { spanText } from '../look/moments.js';
import { placeName } from '../look/words.js';
import { GaugeTile } from './gauge-tile.js';
import { PathDrawing } from './path-drawing.js';
import { ProbeStation, trendOf } from './probe-station.js';

/** From the engine aft, as gas and water travel. */
const order = ['before-turbo', 'dry-exhaust', 'wet-elbow'];
const along = (probe: ProbeNow) => {
  const at = order.indexOf(probe.place);
  return at < 0 ? order.length : at;
};

/** The probe with the least time left, else with the least distance. */
export const nearest = (probes: readonly ProbeNow[]): ProbeNow | undefined => {
  const timed = probes.filter((p) => p.roomS !== undefined).sort((a, b) => (a.roomS ?? 0) - (b.roomS ?? 0));
  const measured = probes
    .filter((p) => p.roomC !== undefined)
    .sort((a, b) => (a.roomC ?? 0) - (b.roomC ?? 0));
  const passed = measured.find((p) => (p.roomC ?? 0) <= 0);
  return passed ?? timed[0] ?? measured[0];
};

type Props = {
  readonly engine: EngineNow;
  readonly probes: readonly ProbeNow[];
  /** The drawing as in a mirror, for an engine left of the keel. */
  readonly mirrored: boolean;
};

/** One engine: its room as one figure, and its path of gas and water with every probe at its place. */
export const EnginePanel = ({ engine, probes, mirrored }: Props) => {
  const { id, name, running } = engine;
  const unseen = probes.filter((p) => p.limits.alarm || p.limits.warning).filter((p) => p.quality !== 'good');
  const ofTemperature = (p: ProbeNow) => (p.quantity ?? 'temperature') === 'temperature';
  const stations = probes.filter(ofTemperature).sort((a, b) => along(a) - along(b));
  const gauges = probes.filter((p) => !ofTemperature(p));
  return (
    <section class={`engine ${engineClass(id)}`} aria-label={name}>
      <header>
        <h2>{name}</h2>
        <p>{running === undefined ? 'running not known' : running ? 'running' : 'stopped'}</p>
      </header>
      <Room probe={nearest(probes)} unseen={unseen} />
      <div class="path" style={{ '--stations': Math.max(1, stations.length) }}>
        <PathDrawing name={name} mirrored={mirrored} places={stations.map((p) => p.place)} />
        <ul>
          {stations.map((probe) => (
            <ProbeStation key={probe.id} probe={probe} />
          ))}
        </ul>
      </div>
      {gauges.length > 0 && (
        <ul class="gauges">
          {gauges.map((probe) => (
            <GaugeTile key={probe.id} probe={probe} />
          ))}
        </ul>
      )}
    </section>
  );
};

type RoomProps = { readonly probe: ProbeNow | undefined; readonly unseen: readonly ProbeNow[] };

/** A guarded probe that is not seen may have no room left: then the engine's room is not known, unless another is worse. */
const Room = ({ probe, unseen }: RoomProps) => {
  const pressing = probe?.roomC !== undefined && (probe.roomC <= 0 || probe.roomS !== undefined);
  if (probe?.roomC === undefined || (unseen.length > 0 && !pressing)) return <RoomNotKnown unseen={unseen} />;
  const past = probe.roomC <= 0;
  const going = probe.roomS !== undefined ? 'shrinking' : trendOf(probe) === 'falling' ? 'growing' : 'steady';
  return (
    <div class={`room ${past ? 'past' : going}`}>
      <p class="figure">
        {spanDegrees(Math.abs(probe.roomC))}
        <small>{unitSign()}</small>
      </p>
      <p class="meaning">
        <b>{past ? `past the ${probe.roomTo} setpoint` : `of room to the ${probe.roomTo}`}</b>
        <span>{placeName(probe.place)}</span>
        {!past && (
          <span class="going">{probe.roomS === undefined ? going : `${spanText(probe.roomS)} left`}</span>
        )}
      </p>
    </div>
  );
};

const RoomNotKnown = ({ unseen }: Pick<RoomProps, 'unseen'>) => (
  <div class="room unknown">
    <p class="figure" aria-hidden="true">
      ––
    </p>
    <p class="meaning">
      <b>Room not known</b>
      <span>
        {unseen.length
          ? `Not seen: ${unseen.map((p) => placeName(p.place).toLowerCase()).join(', ')}.`
          : 'No probe here has a setpoint.'}
      </span>
    </p>
  </div>
);
