import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { EngineNow } from '../../serve/now.js';
import { act } from '../link/act.js';
import { ask } from '../link/ask.js';
import { engines } from '../link/engines.js';
import { now } from '../link/stream.js';
import { degreesText } from '../look/degrees.js';

type Truth = {
  readonly probes: Readonly<Record<string, { readonly temperatureC: number }>>;
  readonly pins: {
    readonly buzzer: boolean;
    readonly lamp: boolean;
    readonly heartbeatEdges: number;
    readonly missingPulseSounding: boolean;
  };
};

/** The invented boat's troubles, to be made and repaired by hand; beside them the true values, which no boat knows. */
export const BenchScreen = () => {
  const truth = useSignal<Truth | undefined>(undefined);
  const answer = useSignal('');
  const look = () =>
    ask<Truth>('api/bench/truth').then(
      (found) => {
        truth.value = found;
      },
      (error: Error) => {
        answer.value = error.message;
      },
    );
  useEffect(() => {
    look();
    const again = setInterval(look, 1_000);
    return () => clearInterval(again);
  }, []);
  const make = async (action: Readonly<Record<string, unknown>>, said: string) => {
    const outcome = await act('api/bench/do', action);
    answer.value = outcome.ok ? said : outcome.message;
    look();
  };
  return (
    <div class="bench">
      <h2>The bench boat</h2>
      <p class="quiet">
        Invented engines behind a real firmware on an emulated board. What you do here happens only there.
      </p>
      <p role="status" class="answer">
        {answer.value}
      </p>
      <div class="pair">
        {engines().map(({ id, kind, name }) => (
          <EngineHands key={id} engine={id} kind={kind} name={name} make={make} />
        ))}
      </div>
      <section class="cable">
        <h3>USB cable</h3>
        <button type="button" onClick={() => make({ action: 'unplug' }, 'The cable is out.')}>
          Pull the cable
        </button>
        <button type="button" onClick={() => make({ action: 'replug' }, 'The cable is in.')}>
          Put it back
        </button>
        {truth.value && <Pins pins={truth.value.pins} />}
      </section>
      <table>
        <caption>What is true, and what the node reads</caption>
        <thead>
          <tr>
            <th scope="col">Probe</th>
            <th scope="col">True</th>
            <th scope="col">Read</th>
            <th scope="col">Wires and baths</th>
          </tr>
        </thead>
        <tbody>
          {Object.entries(truth.value?.probes ?? {}).map(([id, { temperatureC }]) => {
            const read = now.value?.probes.find((probe) => probe.id === id);
            const good = read?.quality === 'good' && read.temperatureC !== undefined;
            return (
              <tr key={id}>
                <th scope="row">{read?.name ?? id}</th>
                <td>{degreesText(temperatureC, 2)}</td>
                <td>
                  {good && read.temperatureC !== undefined
                    ? degreesText(read.temperatureC, 2)
                    : (read?.quality ?? 'not read')}
                </td>
                <td class="hands">
                  <button
                    type="button"
                    onClick={() => make({ action: 'open-probe', probe: id }, `${id} is open.`)}
                  >
                    Cut<span class="unseen"> {id}</span>
                  </button>
                  <button
                    type="button"
                    onClick={() => make({ action: 'short-probe', probe: id }, `${id} is shorted.`)}
                  >
                    Short<span class="unseen"> {id}</span>
                  </button>
                  <button
                    type="button"
                    onClick={() =>
                      make({ action: 'dip', probe: id, bath: 'ice' }, `${id} is in melting ice.`)
                    }
                  >
                    Ice<span class="unseen"> for {id}</span>
                  </button>
                  <button
                    type="button"
                    onClick={() =>
                      make({ action: 'dip', probe: id, bath: 'boiling' }, `${id} is in boiling water.`)
                    }
                  >
                    Boil<span class="unseen"> {id}</span>
                  </button>
                  <button
                    type="button"
                    onClick={() => make({ action: 'undip', probe: id }, `${id} is back in its place.`)}
                  >
                    Out<span class="unseen"> of the bath: {id}</span>
                  </button>
                  <button
                    type="button"
                    onClick={() => make({ action: 'restore-probe', probe: id }, `${id} is whole.`)}
                  >
                    Repair<span class="unseen"> {id}</span>
                  </button>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
};

type HandsProps = {
  readonly engine: string;
  readonly kind: EngineNow['kind'];
  readonly name: string;
  readonly make: (action: Readonly<Record<string, unknown>>, said: string) => Promise<void>;
};

/** What the lever of a propulsion engine does, and the electrical load of a generator set. */
const throttles = {
  propulsion: [
    { name: 'Stop', value: 0 },
    { name: 'Idle', value: 0.05 },
    { name: 'Cruise', value: 0.75 },
    { name: 'Wide open', value: 1 },
  ],
  generator: [
    { name: 'Stop', value: 0 },
    { name: 'No load', value: 0.05 },
    { name: 'Half load', value: 0.5 },
    { name: 'Full load', value: 1 },
  ],
} as const;

const EngineHands = ({ engine, kind, name: side, make }: HandsProps) => {
  const elbows = () =>
    (now.value?.probes ?? []).filter((probe) => probe.engine === engine && probe.place === 'wet-elbow');
  /** The step of commissioning that proves the buzzer: engine off, each elbow probe in boiling water. */
  const hotDip = async () => {
    await make({ action: 'throttle', engine, value: 0 }, '');
    for (const { id } of elbows())
      await make(
        { action: 'dip', probe: id, bath: 'boiling' },
        `${side}: stopped, its elbow probe is in boiling water.`,
      );
  };
  const outOfTheWater = async () => {
    for (const { id } of elbows())
      await make({ action: 'undip', probe: id }, `${side}: its elbow probe is back in its place.`);
  };
  return (
    <section aria-label={side}>
      <h3>{side}</h3>
      <div class="hands">
        {throttles[kind].map(({ name, value }) => (
          <button
            key={name}
            type="button"
            onClick={() => make({ action: 'throttle', engine, value }, `${side}: ${name.toLowerCase()}.`)}
          >
            {name}
          </button>
        ))}
      </div>
      <div class="hands">
        <button
          type="button"
          onClick={() => make({ action: 'bag-intake', engine }, `${side}: a bag lies over the intake.`)}
        >
          Bag the intake
        </button>
        <button
          type="button"
          onClick={() => make({ action: 'clear-intake', engine }, `${side}: the intake is clear.`)}
        >
          Clear it
        </button>
      </div>
      <div class="hands">
        <button
          type="button"
          onClick={() => make({ action: 'shed-vane', engine }, `${side}: the impeller shed vanes.`)}
        >
          Shed a vane
        </button>
        <button
          type="button"
          onClick={() => make({ action: 'new-impeller', engine }, `${side}: the impeller is new.`)}
        >
          New impeller
        </button>
      </div>
      <div class="hands">
        <button type="button" onClick={hotDip}>
          Hot dip
        </button>
        <button type="button" onClick={outOfTheWater}>
          End the dip
        </button>
      </div>
    </section>
  );
};

const Pins = ({ pins }: Pick<Truth, 'pins'>) => (
  <dl class="pins">
    {(
      [
        ['Buzzer', pins.buzzer ? 'sounding' : 'quiet'],
        ['Lamp', pins.lamp ? 'lit' : 'dark'],
        ['Heartbeats', String(pins.heartbeatEdges)],
        ['Missing-pulse circuit', pins.missingPulseSounding ? 'sounding' : 'quiet'],
      ] as const
    ).map(([name, text]) => (
      <div key={name}>
        <dt>{name}</dt>
        <dd>{text}</dd>
      </div>
    ))}
  </dl>
);
