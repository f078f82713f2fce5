import type { OutputsNow } from '../../serve/output-routes.js';
import { useAsked } from '../link/asked.js';
import { now } from '../link/stream.js';
import { Columns, Row } from '../look/columns.js';

/** What came in and what went out, counted: nothing is lost in silence. */
export const Counted = () => {
  const { found } = useAsked<OutputsNow>('api/outputs', { everyMs: 5_000 });
  return (
    <>
      <WaysIn />
      <ByProbe />
      {found.value && <WaysOut outputs={found.value.outputs} />}
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
          <Row
            key={node.node}
            of={[
              node.node,
              node.sequenceGaps,
              ...[node.framesLost, node.boardRefused, node.boardReconnects].map((n) => n ?? 'not reported'),
            ]}
          />
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
          <Row key={id} of={[name(id), good, doubtful, missing]} />
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
          <Row
            key={output.name}
            of={[
              ...[output.name, output.sent, output.waiting, output.failed, output.dropped],
              `${output.listeners === undefined ? '' : `${output.listeners} connected `}${output.lastError ?? 'none'}`,
            ]}
          />
        ))}
      </tbody>
    </table>
  );
