import { type ErrorCategory, RoomError } from '../../node/index.js';
import type { Access } from './access/access-file.js';
import { loadAccess } from './access/load-access.js';

/** The page could not be served; the message says why and what to do. */
export class PageError extends RoomError {
  readonly code: 'page-port-taken' | 'page-not-served' | 'no-pass-phrase' | 'bad-certificate';
  constructor(code: PageError['code'], message: string, cause?: unknown) {
    super(message, { cause });
    this.code = code;
  }

  get errorCategory(): ErrorCategory {
    return this.code === 'no-pass-phrase' || this.code === 'bad-certificate' ? 'usage' : 'unavailable';
  }
}

export const isLoopbackAddress = (address: string): boolean =>
  /^(localhost|127(\.\d{1,3}){3}|::1)$/.test(address);

/** Throws `PageError` where others could reach a page that asks for no pass-phrase. */
export const refuseOpenPage = (address: string, access: Access | undefined): void => {
  if (isLoopbackAddress(address) || access) return;
  throw new PageError(
    'no-pass-phrase',
    `The page does not listen on ${address} without a pass-phrase: anybody near could silence an alarm. Set one first: elbowroom access --role act`,
  );
};

/**
 * What a host would refuse at its start of the address and the certificate that it is given, seen before it is
 * started. Throws `PageError` and `AccessError`.
 */
export const checkPageOptions = (asked: {
  readonly dataDir: string;
  readonly pageListen?: string | undefined;
  readonly tlsCert?: string | undefined;
  readonly tlsKey?: string | undefined;
}): void => {
  const { dataDir, pageListen = '127.0.0.1', tlsCert, tlsKey } = asked;
  const { access } = loadAccess({
    dataDir,
    ...(tlsCert !== undefined && tlsKey !== undefined && { tls: { certPath: tlsCert, keyPath: tlsKey } }),
  });
  refuseOpenPage(pageListen, access());
};
