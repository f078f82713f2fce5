import { isThermometer } from '../../live/is-thermometer.js';
import type { EngineNow, ProbeNow } from '../../serve/now.js';
import { engineClass } from '../link/engines.js';
import { GaugeTile } from './gauge-tile.js';
import { PathDrawing } from './path-drawing.js';
import { ProbeStation } from './probe-station.js';
import { Room } from './room.js';
import { scaleToC } from './scale.js';

/** From the engine aft, as gas and water travel. */
const order = ['before-turbo', 'dry-exhaust', 'wet-elbow'];
const along = (probe: ProbeNow) => {
  const at = order.indexOf(probe.place);
  return at < 0 ? order.length : at;
};

type Props = {
  readonly engine: EngineNow;
  /** Of all engines: probes of one kind share a scale. */
  readonly probes: readonly ProbeNow[];
};

/** One engine: its room as one figure, and its path of gas and water with every probe at its place. */
export const EnginePanel = ({ engine, probes }: Props) => {
  const { id, name, running } = engine;
  const mine = probes.filter((probe) => probe.engine === id).sort((a, b) => along(a) - along(b));
  const stations = mine.filter(isThermometer);
  const gauges = mine.filter((p) => !isThermometer(p));
  return (
    <section class={`engine ${engineClass(id)}`} aria-label={name}>
      <header>
        <h2>{name}</h2>
        <p>{running === undefined ? 'running not known' : running ? 'running' : 'stopped'}</p>
      </header>
      <Room engine={id} probes={stations} />
      <div class="path" style={{ '--stations': Math.max(1, stations.length) }}>
        <PathDrawing name={name} places={stations.map((p) => p.place)} />
        <ul>
          {stations.map((probe) => (
            <ProbeStation key={probe.id} probe={probe} toC={scaleToC(probe.place, probes)} />
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
