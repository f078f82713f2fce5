import type { Server } from 'node:net';
import { NodeError } from '../errors/node-error.js';

type ListenAddress = { readonly host: string; readonly port: number };

/** `host:port` in its parts; `[::1]:8472` for IPv6. */
export const parseListenAddress = (address: string): ListenAddress => {
  const parts = /^(?:\[([0-9a-f:]+)\]|([^:\s]+)):(\d{1,5})$/i.exec(address);
  const port = Number(parts?.[3]);
  if (!parts || port > 65_535)
    throw new NodeError(
      'address-wrong',
      `"${address}" is no address to listen on. Write host:port, for example 127.0.0.1:8472.`,
    );
  return { host: (parts[1] ?? parts[2]) as string, port };
};

/** Gives the port taken, where port 0 takes a free one. Rejects with what `troubleOf` makes of the system's error. */
export const listenOn = async (
  server: Server,
  { host, port }: ListenAddress,
  troubleOf: (cause: NodeJS.ErrnoException) => NodeError,
): Promise<number> => {
  await new Promise<void>((resolve, reject) => {
    // The handler stays: what goes wrong with one connection later must not end the guard.
    server.on('error', (cause) => reject(troubleOf(cause)));
    server.listen(port, host, resolve);
  });
  const bound = server.address();
  return typeof bound === 'object' && bound ? bound.port : port;
};
