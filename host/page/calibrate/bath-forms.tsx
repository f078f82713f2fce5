import { useSignal } from '@preact/signals';
import { fromReader, spanFromReader, unitSign } from '../look/degrees.js';

type Props = { readonly begin: (bath: Readonly<Record<string, unknown>>) => void };

/** The three baths, each with what must be known of it. */
export const BathForms = ({ begin }: Props) => {
  const from = useSignal<'station' | 'qnh' | 'altitude'>('qnh');
  const fieldsOf = (event: Event) => {
    event.preventDefault();
    const fields = new FormData(event.currentTarget as HTMLFormElement);
    return (name: string) => Number(fields.get(name));
  };
  const boil = (event: Event) => {
    const of = fieldsOf(event);
    const hectopascals = of('hectopascals');
    const altitudeM = of('altitudeM');
    begin({
      kind: 'boiling',
      pressure:
        from.value === 'station'
          ? { from: 'station', hectopascals, altitudeM }
          : from.value === 'qnh'
            ? { from: 'qnh', hectopascals, altitudeM }
            : { from: 'altitude', altitudeM },
    });
  };
  return (
    <div class="baths">
      <section>
        <h3>Ice</h3>
        <p>Crushed ice, fresh water until it just floats; stir. Probes in the middle, not on the bottom.</p>
        <button type="button" class="strong" onClick={() => begin({ kind: 'ice' })}>
          They are in kitchen ice
        </button>
        <button type="button" onClick={() => begin({ kind: 'ice', made: 'packed' })}>
          In packed ice of distilled water
        </button>
      </section>
      <section>
        <h3>Boiling water</h3>
        <p>A full rolling boil, lid ajar, probes off the bottom. Gloves on: the steam scalds, too.</p>
        <form onSubmit={boil}>
          <label>
            Air pressure known from
            <select
              value={from.value}
              onChange={(event) => {
                from.value = event.currentTarget.value as typeof from.value;
              }}
            >
              <option value="qnh">weather report, sea level</option>
              <option value="station">a barometer here</option>
              <option value="altitude">altitude alone</option>
            </select>
          </label>
          {from.value !== 'altitude' && (
            <label>
              hPa
              <input
                name="hectopascals"
                type="number"
                step="any"
                min="20"
                max="1100"
                defaultValue="1013"
                required
              />
            </label>
          )}
          <label>
            Altitude m
            <input
              name="altitudeM"
              type="number"
              step="any"
              min="-100"
              max="5000"
              defaultValue="0"
              required
            />
          </label>
          <button type="submit" class="strong">
            They are in the boiling water
          </button>
        </form>
      </section>
      <section>
        <h3>Beside a thermometer</h3>
        <p>A stirred bath at any temperature and a thermometer you trust, side by side.</p>
        <form
          onSubmit={(event) => {
            const of = fieldsOf(event);
            begin({
              kind: 'reference',
              temperatureC: fromReader(of('temperature')),
              standardUncertaintyC: spanFromReader(of('uncertainty')),
            });
          }}
        >
          <label>
            It reads {unitSign()}
            <input name="temperature" type="number" step="any" required />
          </label>
          <label>
            Known to {unitSign()} (standard)
            <input name="uncertainty" type="number" step="any" min="0.01" defaultValue="0.2" required />
          </label>
          <button type="submit" class="strong">
            They are in the bath
          </button>
        </form>
      </section>
    </div>
  );
};
