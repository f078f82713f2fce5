import { mayAct } from '../link/session.js';
import { now } from '../link/stream.js';

const wires = [
  { id: 'iec-2', name: 'IEC 60584 class 2 (usual)' },
  { id: 'iec-1', name: 'IEC 60584 class 1' },
  { id: 'astm-standard', name: 'ASTM E230 standard' },
  { id: 'astm-special', name: 'ASTM E230 special' },
] as const;

type Props = { readonly start: (probes: readonly string[], wire: string) => void };

export const ChooseProbes = ({ start }: Props) => {
  const probes = now.value?.probes ?? [];
  const send = (event: Event) => {
    event.preventDefault();
    const fields = new FormData(event.currentTarget as HTMLFormElement);
    start(fields.getAll('probe').map(String), String(fields.get('wire')));
  };
  return (
    <>
      <aside class="caution">
        <b>Before you start.</b> Boiling water and steam scald. Work on a level place ashore or at the dock,
        never under way, engines off and cold. Keep mains leads away from the water and cables away from flame
        and hot plate. This kit does not replace the engine's own alarms.
      </aside>
      <form onSubmit={send}>
        <fieldset class="chips">
          <legend>Probes that will sit in the baths together</legend>
          {probes.map((probe) => (
            <label key={probe.id} class="tick">
              <input
                type="checkbox"
                name="probe"
                value={probe.id}
                defaultChecked={probe.place === 'wet-elbow'}
              />
              {probe.name}
            </label>
          ))}
        </fieldset>
        <label>
          Thermocouple wire
          <select name="wire">
            {wires.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <button type="submit" class="strong" disabled={!mayAct() || !probes.length}>
          Begin
        </button>
      </form>
    </>
  );
};
