import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { OutputsNow } from '../../serve/output-routes.js';
import { ask } from '../link/ask.js';
import { now } from '../link/stream.js';
import { Columns } from '../look/columns.js';

const everyMs = 5_000;

/** What came in and what went out, counted: nothing is lost in silence. */
export const Counted = () => {
  const seen = useSignal<OutputsNow | undefined>(undefined);
  useEffect(() => {
    const look = () =>
      ask<OutputsNow>('api/outputs').then(
        (found) => {
          seen.value = found;
        },
        () => undefined,
      );
    look();
    const timer = setInterval(look, everyMs);
    return () => clearInterval(timer);
  }, []);
  return (
    <>
      <WaysIn />
      <ByProbe />
      {seen.value && <WaysOut outputs={seen.value.outputs} />}
    </>
  );
};

const WaysIn = () => {
  const nodes = now.value?.nodes.filter(({ node }) => node !== 'host') ?? [];
  if (!nodes.length) return null;
  return (
    <table>
      <caption>Lost between board and host, since each started</caption>
      <Columns of={['Node', 'Sequence gaps', 'Lost messages', 'Rejected board bytes', 'Reconnects']} />
      <tbody>
        {nodes.map((node) => (
          <tr key={node.node}>
            <th scope="row">{node.node}</th>
            <td>{node.sequenceGaps}</td>
            <td>{node.framesLost ?? 'not reported'}</td>
            <td>{node.boardRefused ?? 'not reported'}</td>
            <td>{node.boardReconnects ?? 'not reported'}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
};

const ByProbe = () => {
  const counted = now.value?.nodes.flatMap(({ readings }) => Object.entries(readings ?? {})) ?? [];
  if (!counted.length) return null;
  const name = (id: string) => now.value?.probes.find((probe) => probe.id === id)?.name ?? id;
  return (
    <table>
      <caption>Readings since the node started</caption>
      <Columns of={['Probe', 'Good', 'Doubtful', 'Missing']} />
      <tbody>
        {counted.map(([id, { good, doubtful, missing }]) => (
          <tr key={id}>
            <th scope="row">{name(id)}</th>
            <td>{good}</td>
            <td>{doubtful}</td>
            <td>{missing}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
};

const WaysOut = ({ outputs }: OutputsNow) =>
  outputs.length === 0 ? (
    <p class="quiet">
      Nothing is sent from the host: host.yaml names no instrument, webhook or mail (elbowroom outputs
      --help).
    </p>
  ) : (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: on a phone it is scrolled, by keyboard too
    <table class="sent" tabIndex={0}>
      <caption>Sent since the host started</caption>
      <Columns of={['Destination', 'Sent', 'Waiting', 'Failed attempts', 'Dropped', 'Last error']} />
      <tbody>
        {outputs.map((output) => (
          <tr key={output.name}>
            <th scope="row">{output.name}</th>
            <td>{output.sent}</td>
            <td>{output.waiting}</td>
            <td>{output.failed}</td>
            <td>{output.dropped}</td>
            <td>
              {output.listeners !== undefined && `${output.listeners} connected`} {output.lastError ?? 'none'}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
