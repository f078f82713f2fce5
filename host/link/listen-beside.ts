import { once } from 'node:events';
import type { Duplex } from 'node:stream';
import { HostProtocol, type NodeMessage, parseFromNode, receiveFrames } from '../../node/index.js';

/**
 * Gives the messages of a node from now on, beside its host, until the wire ends: what the node kept from earlier is passed
 * over, and nothing is acknowledged, so that the host misses nothing. It gives no orders, so it needs no secret.
 * False where what is at the other end never greeted as a node.
 */
export const listenBeside = async (wire: Duplex, take: (message: NodeMessage) => void): Promise<boolean> => {
  const protocol = new HostProtocol(() => undefined);
  let newFromSeq = Number.POSITIVE_INFINITY;
  wire.on('error', () => wire.destroy());
  receiveFrames(wire, {
    onDamaged: () => undefined,
    onFrame: (value) => {
      const said = parseFromNode(value);
      if (said?.type === 'greeting' && protocol.onGreeting(said).kind === 'for-us') newFromSeq = said.nextSeq;
      if (said?.type === 'message' && said.seq >= newFromSeq) take(said.message);
    },
  });
  wire.write(protocol.arrival());
  if (!wire.destroyed) await once(wire, 'close').catch(() => undefined);
  return newFromSeq !== Number.POSITIVE_INFINITY;
};
