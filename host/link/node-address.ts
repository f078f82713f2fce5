import { connect } from 'node:net';
import type { Duplex } from 'node:stream';
import { openLinkStream, RoomError } from '../../node/index.js';

/** The address of a node cannot be used; the message says which and what one looks like. */
export class LinkError extends RoomError {
  readonly code = 'address-wrong';
  readonly errorCategory = 'usage';
}

/** Where a node can be reached: over the network, or at the end of a serial cable. */
export type NodeAddress =
  | { readonly over: 'tcp'; readonly host: string; readonly port: number; readonly text: string }
  | { readonly over: 'serial'; readonly path: string; readonly baud: number; readonly text: string };

const usualBaud = 57_600;
const connectWithinMs = 5_000;

/** `host:port`, `tcp://host:port`, `serial:///dev/ttyUSB1`, `serial://COM3?baud=115200`. Throws `LinkError`. */
export const parseNodeAddress = (text: string): NodeAddress => {
  const serial = /^serial:\/\/([^?\s]+)(?:\?baud=(\d{3,7}))?$/.exec(text);
  if (serial?.[1]) return { over: 'serial', path: serial[1], baud: Number(serial[2] ?? usualBaud), text };
  const tcp = /^(?:tcp:\/\/)?(?:\[([0-9a-f:]+)\]|([^:/\s]+)):(\d{1,5})$/i.exec(text);
  const host = tcp?.[1] ?? tcp?.[2];
  const port = Number(tcp?.[3]);
  if (!host || !(port >= 1 && port <= 65_535))
    throw new LinkError(
      `"${text}" names no node. Write host:port such as 127.0.0.1:8472, or serial:///dev/ttyUSB1 (serial://COM3?baud=57600).`,
    );
  return { over: 'tcp', host, port, text };
};

/** A stream to the node. Rejects when there is no answer. */
export const openAddress = (address: NodeAddress): Promise<Duplex> =>
  address.over === 'serial'
    ? openLinkStream(address.path, address.baud)
    : new Promise((resolve, reject) => {
        const socket = connect({ host: address.host, port: address.port, timeout: connectWithinMs });
        socket.setNoDelay(true);
        socket.setKeepAlive(true, 10_000);
        socket.once('timeout', () => socket.destroy(new Error('no answer')));
        socket.once('error', reject);
        socket.once('connect', () => {
          socket.setTimeout(0);
          socket.off('error', reject);
          resolve(socket);
        });
      });
