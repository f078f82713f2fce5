import type { Duplex } from 'node:stream';
import { setTimeout as pause } from 'node:timers/promises';
import type { Clock, NodeMessage, ReadingRow } from '../../node/index.js';
import { listenBeside } from '../link/listen-beside.js';
import { openAddress, parseNodeAddress } from '../link/node-address.js';

export type LiveEvent =
  | { readonly kind: 'row'; readonly atS: number; readonly row: ReadingRow }
  | { readonly kind: 'board'; readonly state: Extract<NodeMessage, { kind: 'status' }>['board'] }
  | { readonly kind: 'link'; readonly up: boolean };

/** Between two attempts to reach a node that does not answer. */
const retryMs = 1000;

/**
 * Listens to a node beside its host, from now on: what the node kept from earlier is passed over, and nothing is
 * acknowledged, so that the host misses nothing. Connects again until `signal` says stop. Throws `LinkError` for an
 * invalid address.
 */
export async function listenToNode(
  address: string,
  clock: Clock,
  signal: AbortSignal,
  onEvent: (event: LiveEvent) => void,
): Promise<void> {
  const parsed = parseNodeAddress(address);
  let saidDown = false;
  while (!signal.aborted) {
    const wire = await openAddress(parsed).catch(() => undefined);
    if (wire) {
      saidDown = false;
      onEvent({ kind: 'link', up: true });
      await listen(wire, clock, signal, onEvent);
    }
    if (signal.aborted) return;
    if (!saidDown) onEvent({ kind: 'link', up: false });
    saidDown = true;
    await pause(retryMs, undefined, { signal }).catch(() => undefined);
  }
}

async function listen(
  wire: Duplex,
  clock: Clock,
  signal: AbortSignal,
  onEvent: (event: LiveEvent) => void,
): Promise<void> {
  const stop = () => wire.destroy();
  signal.addEventListener('abort', stop, { once: true });
  await listenBeside(wire, (said) => {
    if (said.kind === 'status') onEvent({ kind: 'board', state: said.board });
    if (said.kind !== 'readings' || said.rate !== 'second') return;
    const atS = clock.monotonicMs() / 1000;
    for (const row of said.rows) onEvent({ kind: 'row', atS, row });
  });
  signal.removeEventListener('abort', stop);
}
