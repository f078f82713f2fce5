import { hotCaution, hotFromC } from '../../calibrate/words.js';
import { engines } from '../link/engines.js';
import { Trouble } from '../look/trouble.js';

/** In view at every step, because the boiling water comes at the last. */
export const Caution = () => {
  const running = engines().filter((engine) => engine.running);
  return (
    <>
      {running.map((engine) => (
        <Trouble key={engine.id}>
          {engine.name}: its running input is on. Calibrate with the engines off and cold: stop it, or check
          the input's wires.
        </Trouble>
      ))}
      <aside class="caution">
        <b>Boiling water and steam scald.</b> Ashore or at the dock, never under way; engines off and cold.
        Gloves; a wide pot that cannot tip, on a level place; children and pets away. Mains leads away from
        the water, cables away from flame and hot plate. Hatch open over a gas cooker (carbon monoxide); never
        let the pot boil dry. This kit does not replace the engine's own alarms.
      </aside>
      <p class="expected">
        Probes in a bath are expected to be hot: an elbow probe at the boil raises an alarm and sounds the
        buzzer. Silence it; there is no engine to ease. It ends when the probe has cooled.
      </p>
    </>
  );
};

export const isHot = (temperatureC: number): boolean => temperatureC > hotFromC;

/** Where a bath can only be oil or metal. */
export const HotCaution = () => <Trouble>{hotCaution}</Trouble>;
