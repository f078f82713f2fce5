import { useSignal } from '@preact/signals';
import type { EngineNow } from '../../serve/now.js';
import { act } from '../link/act.js';
import { useAsked } from '../link/asked.js';
import { engines } from '../link/engines.js';
import { now } from '../link/stream.js';
import { Button } from '../look/button.js';
import { Columns } from '../look/columns.js';
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
  const { found: truth, trouble, look } = useAsked<Truth>('api/bench/truth', { everyMs: 1_000 });
  const answer = useSignal('');
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
        {trouble.value || answer.value}
      </p>
      <div class="pair">
        {engines().map(({ id, kind, name }) => (
          <EngineHands key={id} engine={id} kind={kind} name={name} make={make} />
        ))}
      </div>
      <section class="cable">
        <h3>USB cable</h3>
        <Button onClick={() => make({ action: 'unplug' }, 'The cable is out.')}>Pull the cable</Button>
        <Button onClick={() => make({ action: 'replug' }, 'The cable is in.')}>Put it back</Button>
        {truth.value && <Pins pins={truth.value.pins} />}
      </section>
      <table>
        <caption>What is true, and what the node reads</caption>
        <Columns of={['Probe', 'True', 'Read', 'Wires and baths']} />
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
                  {probeHands.map(([word, unseen, action, said]) => (
                    <Button key={word} onClick={() => make({ ...action, probe: id }, `${id} ${said}.`)}>
                      {word}
                      <span class="unseen">{` ${unseen}${id}`}</span>
                    </Button>
                  ))}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
};

/** What can be done to a probe: the word on the button, what a screen reader adds before the id, the action, what it made. */
const probeHands = [
  ['Cut', '', { action: 'open-probe' }, 'is open'],
  ['Short', '', { action: 'short-probe' }, 'is shorted'],
  ['Ice', 'for ', { action: 'dip', bath: 'ice' }, 'is in melting ice'],
  ['Boil', '', { action: 'dip', bath: 'boiling' }, 'is in boiling water'],
  ['Out', 'of the bath: ', { action: 'undip' }, 'is back in its place'],
  ['Repair', '', { action: 'restore-probe' }, 'is whole'],
] as const;

/** What can be done to the raw water of an engine, in two rows. */
const engineHands = [
  [
    ['Bag the intake', 'bag-intake', 'a bag covers the intake'],
    ['Clear it', 'clear-intake', 'the intake is clear'],
  ],
  [
    ['Shed a vane', 'shed-vane', 'the impeller shed vanes'],
    ['New impeller', 'new-impeller', 'the impeller is new'],
  ],
] as const;

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
          <Button
            key={name}
            onClick={() => make({ action: 'throttle', engine, value }, `${side}: ${name.toLowerCase()}.`)}
          >
            {name}
          </Button>
        ))}
      </div>
      {engineHands.map((row) => (
        <div key={row[0][0]} class="hands">
          {row.map(([word, action, said]) => (
            <Button key={word} onClick={() => make({ action, engine }, `${side}: ${said}.`)}>
              {word}
            </Button>
          ))}
        </div>
      ))}
      <div class="hands">
        <Button onClick={hotDip}>Hot dip</Button>
        <Button onClick={outOfTheWater}>End the dip</Button>
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
