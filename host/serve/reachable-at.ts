import { networkInterfaces } from 'node:os';

type Interfaces = ReturnType<typeof networkInterfaces>;

/**
 * Addresses at which a page that listens on `url` can be opened. One that listens everywhere (0.0.0.0 or [::]) is named by
 * the addresses of this computer, its own network first and itself last: no tablet opens 0.0.0.0.
 */
export const reachableAt = (url: string, interfaces: Interfaces = networkInterfaces()): readonly string[] => {
  const { protocol, hostname, port } = new URL(url);
  if (hostname !== '0.0.0.0' && hostname !== '[::]') return [url];
  const at = (host: string) => `${protocol}//${host}${port === '' ? '' : `:${port}`}/`;
  const outside = Object.values(interfaces)
    .flatMap((addresses) => addresses ?? [])
    .filter(({ internal, family }) => !internal && family === 'IPv4')
    .map(({ address }) => at(address));
  return [...outside, at('127.0.0.1')];
};
