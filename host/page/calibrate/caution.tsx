import { now } from '../link/stream.js';
import { sideName } from '../look/words.js';

/** In view at every step, because the boiling water comes at the last. */
export const Caution = () => {
  const nodes = now.value?.nodes.filter(({ connected }) => connected) ?? [];
  const running = (['port', 'starboard'] as const).filter((engine) =>
    nodes.some((node) => node.running?.[engine]),
  );
  return (
    <>
      {running.map((engine) => (
        <p key={engine} role="alert" class="trouble">
          {sideName(engine)} engine: its running input is on. Calibrate with the engines off and cold: stop
          it, or check the input's wires.
        </p>
      ))}
      <aside class="caution">
        <b>Boiling water and steam scald.</b> Ashore or at the dock, never under way; engines off and cold.
        Gloves; a wide pot that cannot tip, on a level place; children and pets away. Mains leads away from
        the water, cables away from flame and hot plate. This kit does not replace the engine's own alarms.
      </aside>
    </>
  );
};
