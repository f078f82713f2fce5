import { useSignal } from '@preact/signals';
import type { ProbeNow } from '../../serve/now.js';
import { engineName, isInThisKit, isShared } from '../link/engines.js';
import { now } from '../link/stream.js';
import { Button } from '../look/button.js';
import { degreesText } from '../look/degrees.js';
import { missingWords, placeName } from '../look/words.js';
import { BuzzerTest } from './buzzer-test.js';
import { KitFile } from './kit-file.js';
import { Setpoints, unsaved } from './setpoints.js';

/** What is fitted, where its limits are, and the file that says so. */
export const SetUpScreen = () => {
  const probes = now.value?.probes ?? [];
  const chosen = useSignal<string | undefined>(undefined);
  const asked = useSignal<string | undefined>(undefined);
  const own = probes.filter(isInThisKit);
  const probe = own.find((p) => p.id === chosen.value) ?? own.find((p) => p.place === 'wet-elbow') ?? own[0];
  return (
    <div class="set-up">
      <h2 class="unseen">Set-up</h2>
      <ProbeTable
        probes={probes}
        chosen={probe}
        choose={(p) => {
          if (unsaved.value && p !== probe) asked.value = p.id;
          else chosen.value = p.id;
        }}
      />
      {own.length < probes.length && (
        <p class="quiet">
          Set-up works on the kit of {now.value?.kitNode}. Limits of another board are changed in its own kit
          file.
        </p>
      )}
      {!probes.length && (
        <p class="quiet">No node has reported its probes yet. They are in the kit file below.</p>
      )}
      {asked.value !== undefined && (
        <div role="alert" class="trouble">
          <p>The limits of {probe?.name} are changed and not saved.</p>
          <Button
            onClick={() => {
              chosen.value = asked.value;
              asked.value = undefined;
            }}
          >
            Discard changes
          </Button>{' '}
          <Button
            onClick={() => {
              asked.value = undefined;
            }}
          >
            Keep editing
          </Button>
        </div>
      )}
      {probe && <Setpoints key={probe.id} probe={probe} />}
      <BuzzerTest />
      <KitFile />
    </div>
  );
};

type TableProps = {
  readonly probes: readonly ProbeNow[];
  readonly chosen: ProbeNow | undefined;
  readonly choose: (probe: ProbeNow) => void;
};

const ProbeTable = ({ probes, chosen, choose }: TableProps) => (
  <table>
    <caption>Probes</caption>
    <thead>
      <tr>
        <th scope="col">Probe</th>
        <th scope="col" class="place">
          Place
        </th>
        <th scope="col" class="reads">
          Reads
        </th>
        <th scope="col">Warning</th>
        <th scope="col">Alarm</th>
        <th scope="col">
          <span class="unseen">Limits</span>
        </th>
      </tr>
    </thead>
    <tbody>
      {probes.map((p) => (
        <tr key={`${p.node} ${p.id}`}>
          <th scope="row">{p.name}</th>
          <td class="place">
            {isShared(p.engine) ? '' : `${engineName(p.engine)}, `}
            {placeName(p.place).toLowerCase()} ({p.mounting})
          </td>
          <td class="reads">{reads(p)}</td>
          <td>{p.limits.warning ? degreesText(p.limits.warning.raiseAtC, 0) : 'none'}</td>
          <td>{p.limits.alarm ? degreesText(p.limits.alarm.raiseAtC, 0) : 'none'}</td>
          <td>
            {isInThisKit(p) ? (
              <Button aria-pressed={p === chosen} onClick={() => choose(p)}>
                Limits<span class="unseen"> of {p.name}</span>
              </Button>
            ) : (
              <span class="quiet">in the kit of {p.node}</span>
            )}
          </td>
        </tr>
      ))}
    </tbody>
  </table>
);

const reads = (probe: ProbeNow): string =>
  probe.quality === 'good' && probe.temperatureC !== undefined
    ? degreesText(probe.temperatureC)
    : probe.quality === 'good'
      ? ''
      : missingWords[probe.quality];
