import type { NodeState, ProbeNow } from '../../serve/now.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';
import { placeName, sideName } from '../look/words.js';
import { PathDrawing } from './path-drawing.js';
import { ProbeStation } from './probe-station.js';

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
  readonly engine: 'port' | 'starboard';
  readonly probes: readonly ProbeNow[];
  readonly nodes: readonly NodeState[];
};

/** One engine: its room as one figure, and its path of gas and water with every probe at its place. */
export const EnginePanel = ({ engine, probes, nodes }: Props) => {
  const running = nodes.map((node) => node.running?.[engine]).find((known) => known !== undefined);
  const stations = [...probes].sort((a, b) => along(a) - along(b));
  return (
    <section class={`engine ${engine}`} aria-label={`${sideName(engine)} engine`}>
      <header>
        <h2>{sideName(engine)}</h2>
        <p>{running === undefined ? 'running not known' : running ? 'running' : 'stopped'}</p>
      </header>
      <Room probe={nearest(probes)} blind={probes.length > 0} />
      <div class="path" style={{ '--stations': Math.max(1, stations.length) }}>
        <PathDrawing side={engine} places={stations.map((p) => p.place)} />
        <ul>
          {stations.map((probe) => (
            <ProbeStation key={probe.id} probe={probe} />
          ))}
        </ul>
      </div>
    </section>
  );
};

const Room = ({ probe, blind }: { readonly probe: ProbeNow | undefined; readonly blind: boolean }) => {
  if (probe?.roomC === undefined)
    return (
      <div class="room unknown">
        <p class="figure" aria-hidden="true">
          ––
        </p>
        <p class="meaning">
          <b>Room not known</b>
          <span>{blind ? 'No probe with a setpoint gives a reading.' : 'No probe on this engine.'}</span>
        </p>
      </div>
    );
  const past = probe.roomC <= 0;
  const rise = probe.riseCPerS ?? 0;
  const going = probe.roomS !== undefined ? 'shrinking' : rise < -0.05 ? 'growing' : 'steady';
  return (
    <div class={`room ${past ? 'past' : going}`}>
      <p class="figure">
        {spanDegrees(Math.abs(probe.roomC))}
        <small>{unitSign()}</small>
      </p>
      <p class="meaning">
        <b>{past ? `past the ${probe.roomTo} setpoint` : `of room to the ${probe.roomTo}`}</b>
        <span>{placeName(probe.place)}</span>
        <span class="going">
          {going === 'shrinking' && probe.roomS !== undefined
            ? `shrinking: ${spanText(probe.roomS)} left`
            : past
              ? ''
              : going}
        </span>
      </p>
    </div>
  );
};
