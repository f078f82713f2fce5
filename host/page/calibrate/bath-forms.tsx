import { useSignal } from '@preact/signals';
import { Button } from '../look/button.js';
import { fromReader, spanFromReader, unitSign } from '../look/degrees.js';
import { HotCaution, isHot } from './caution.js';

type Props = { readonly begin: (bath: Readonly<Record<string, unknown>>) => void };

const fieldsOf = (event: Event) => {
  event.preventDefault();
  const fields = new FormData(event.currentTarget as HTMLFormElement);
  const text = (name: string) => String(fields.get(name) ?? '').trim();
  return { text, number: (name: string) => Number(text(name)) };
};

/** The three baths, each with what must be known of it. */
export const BathForms = ({ begin }: Props) => (
  <div class="baths">
    <section>
      <h3>Ice</h3>
      <p>Crushed ice, fresh water until it just floats; stir. Probes in the middle, not on the bottom.</p>
      <Button class="strong" onClick={() => begin({ kind: 'ice' })}>
        They are in kitchen ice
      </Button>
      <Button onClick={() => begin({ kind: 'ice', made: 'packed' })}>In packed ice of distilled water</Button>
    </section>
    <Boiling begin={begin} />
    <Reference begin={begin} />
  </div>
);

const Boiling = ({ begin }: Props) => {
  const boil = (event: Event) => {
    const { text } = fieldsOf(event);
    const [barometer, report] = [text('barometer'), text('report')];
    begin({
      kind: 'boiling',
      altitudeM: text('altitudeM'),
      ...(barometer && { barometer }),
      ...(report && { report }),
    });
  };
  return (
    <section>
      <h3>Boiling water</h3>
      <p>A full rolling boil, lid ajar, probes off the bottom. Gloves on: the steam scalds, too.</p>
      <form onSubmit={boil}>
        <label>
          Altitude of this place
          <input name="altitudeM" placeholder="3 or 980ft" autocomplete="off" maxlength={40} required />
        </label>
        <label>
          Weather report, sea level
          <input name="report" placeholder="1013 or 29.92inHg" autocomplete="off" maxlength={40} />
        </label>
        <label>
          Barometer here, not set to sea level
          <input name="barometer" placeholder="1009 or 757mmHg" autocomplete="off" maxlength={40} />
        </label>
        <p class="quiet">
          Metres and hPa unless a unit follows. Without a pressure, the weather leaves half a degree open.
        </p>
        <button type="submit" class="strong">
          They are in the boiling water
        </button>
      </form>
    </section>
  );
};

const Reference = ({ begin }: Props) => {
  const certified = useSignal(false);
  const readsC = useSignal(0);
  const submit = (event: Event) => {
    const { text, number } = fieldsOf(event);
    begin({
      kind: 'reference',
      temperatureC: fromReader(number('temperature')),
      thermometer: certified.value
        ? {
            certificate: text('certificate'),
            calibratedOn: text('calibratedOn'),
            expandedUncertaintyC: spanFromReader(number('expanded')),
            coverageFactor: number('factor'),
            driftCPerYear: spanFromReader(number('drift')),
          }
        : { standardUncertaintyC: spanFromReader(number('uncertainty')) },
    });
  };
  return (
    <section>
      <h3>Beside a thermometer</h3>
      <p>A stirred bath at any temperature and a thermometer you trust, side by side.</p>
      <form onSubmit={submit}>
        <label>
          It reads ({unitSign()})
          <input
            name="temperature"
            type="number"
            step="any"
            required
            onInput={(event) => {
              readsC.value = fromReader(Number(event.currentTarget.value));
            }}
          />
        </label>
        {isHot(readsC.value) && <HotCaution />}
        <label>
          It is known from
          <select
            value={certified.value ? 'certificate' : 'accuracy'}
            onChange={(event) => {
              certified.value = event.currentTarget.value === 'certificate';
            }}
          >
            <option value="accuracy">its maker’s accuracy</option>
            <option value="certificate">a certificate of its own</option>
          </select>
        </label>
        {certified.value ? (
          <CertificateFields />
        ) : (
          <label>
            Known to ({unitSign()}, standard)
            <input name="uncertainty" type="number" step="any" min="0.01" required />
          </label>
        )}
        <button type="submit" class="strong">
          They are in the bath
        </button>
      </form>
    </section>
  );
};

/** What is printed on the certificate of the thermometer: it travels into the certificates of the probes. */
const CertificateFields = () => (
  <>
    <label>
      Laboratory and number
      <input name="certificate" autocomplete="off" maxlength={80} required />
    </label>
    <label>
      Calibrated on
      <input name="calibratedOn" type="date" required />
    </label>
    <label>
      U, expanded uncertainty ({unitSign()})
      <input name="expanded" type="number" step="any" min="0.001" required />
    </label>
    <label>
      k, coverage factor
      <input name="factor" type="number" step="any" min="1" max="5" defaultValue="2" required />
    </label>
    <label>
      Drift in a year, at most ({unitSign()})
      <input name="drift" type="number" step="any" min="0" required />
    </label>
  </>
);
