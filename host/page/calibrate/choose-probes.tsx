import { isThermometer } from '../../live/is-thermometer.js';
import { isInThisKit } from '../link/engines.js';
import { mayAct } from '../link/session.js';
import { now } from '../link/stream.js';
import { spanDegrees, spanFromReader, unitSign } from '../look/degrees.js';

const wires = [
  { id: 'iec-2', name: 'IEC 60584 class 2 (usual)' },
  { id: 'iec-1', name: 'IEC 60584 class 1' },
  { id: 'astm-standard', name: 'ASTM E230 standard' },
  { id: 'astm-special', name: 'ASTM E230 special' },
] as const;

type Settling = { readonly holdS: number; readonly trendCPerMin: number };
type Props = { readonly start: (probes: readonly string[], wire: string, settling: Settling) => void };

export const ChooseProbes = ({ start }: Props) => {
  const all = (now.value?.probes ?? []).filter(isThermometer);
  const probes = all.filter(isInThisKit);
  const send = (event: Event) => {
    event.preventDefault();
    const fields = new FormData(event.currentTarget as HTMLFormElement);
    start(fields.getAll('probe').map(String), String(fields.get('wire')), {
      holdS: Number(fields.get('holdS')),
      trendCPerMin: spanFromReader(Number(fields.get('trend'))),
    });
  };
  return (
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
      {probes.length < all.length && (
        <p class="quiet">
          These are the probes of {now.value?.kitNode}. For another board: elbowroom calibrate --kit with its
          kit, and --node with its link.
        </p>
      )}
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
      <label>
        Settled when held for (s)
        <input name="holdS" type="number" min="5" max="600" step="1" defaultValue="45" required />
      </label>
      <label>
        and moving less than ({unitSign()} a minute)
        <input
          name="trend"
          type="number"
          min="0.01"
          max="5"
          step="0.01"
          defaultValue={spanDegrees(0.15, 2)}
          required
        />
      </label>
      <button type="submit" class="strong" disabled={!mayAct() || !probes.length}>
        Begin
      </button>
    </form>
  );
};
