import type { NodeMessage, ReadingRow } from '../../node/index.js';
import { listenBeside } from '../link/listen-beside.js';
import { openAddress, parseNodeAddress } from '../link/node-address.js';
import type { Degrees } from '../wording/degrees.js';
import { pointText, readable } from '../wording/degrees.js';
import type { NodeStatus, ProbeStatus } from './status.js';

/** A node that works reports readings every second; a slow wire takes its time. */
const listenMs = 3_500;
const connectMs = 1_500;

type Of<K extends NodeMessage['kind']> = Extract<NodeMessage, { kind: K }>;

/**
 * What the node at `address` says of itself within some seconds; undefined where none answers. Gives no orders and
 * acknowledges nothing, so that the host misses nothing. Throws `LinkError` for an invalid address.
 */
export const askNode = async (address: string, degrees: Degrees): Promise<NodeStatus | undefined> => {
  const wire = await Promise.race([
    openAddress(parseNodeAddress(address)).catch(() => undefined),
    new Promise<undefined>((done) => setTimeout(() => done(undefined), connectMs).unref()),
  ]);
  if (!wire) return undefined;
  let hello: Of<'hello'> | undefined;
  let alerts: Of<'alerts'> | undefined;
  let last: Of<'status'> | undefined;
  let secondsReceived = 0;
  const rows = new Map<string, ReadingRow>();
  const stop = () => wire.destroy();
  const timer = setTimeout(stop, listenMs);
  const take = (message: NodeMessage): void => {
    if (message.kind === 'hello') hello = message;
    else if (message.kind === 'alerts') alerts = message;
    else if (message.kind === 'status') last = message;
    else if (message.rate === 'second') {
      secondsReceived++;
      for (const row of message.rows) rows.set(row.probe, row);
    }
    if (alerts && last && secondsReceived > 0 && hello?.probes.every(({ id }) => rows.has(id))) stop();
  };
  const greeted = await listenBeside(wire, take);
  clearTimeout(timer);
  if (!greeted) return undefined;
  return {
    address,
    invented: hello?.invented ?? false,
    ...(hello && { boat: hello.boat }),
    ...(last && { board: last.board, boardDetail: last.boardDetail, passes: last.counters.passes }),
    passing: secondsReceived > 0,
    probes: (hello?.probes ?? []).map(({ id, name }) => probeStatus(id, name, rows.get(id), degrees)),
    alerts: (alerts?.alerts ?? []).map(({ priority, state, message, since, acknowledgedAt }) => ({
      priority,
      state,
      message: readable(degrees, message),
      since,
      ...(acknowledgedAt !== undefined && { acknowledgedAt }),
    })),
  };
};

const probeStatus = (
  id: string,
  name: string,
  row: ReadingRow | undefined,
  degrees: Degrees,
): ProbeStatus => {
  const text = row && valueText(row, degrees);
  return { id, name, quality: row?.quality ?? 'no-reading', ...(text !== undefined && { text }) };
};

const valueText = (row: ReadingRow, degrees: Degrees): string | undefined => {
  if (row.temperatureC !== undefined) return pointText(degrees, row.temperatureC);
  if (row.pressureKpa !== undefined) return `${row.pressureKpa.toFixed(0)} kPa`;
  return row.speedRpm === undefined ? undefined : `${row.speedRpm.toFixed(0)} 1/min`;
};
