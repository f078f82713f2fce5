import type { IncomingHttpHeaders } from 'node:http';

/**
 * Whether an action may come from where it says it comes from. Browsers send `Origin` with every POST, and newer
 * ones `Sec-Fetch-Site`; a script on this machine (curl, the tests) sends neither and is let through, because a
 * page from elsewhere cannot leave them out.
 */
export const comesFromHere = (headers: IncomingHttpHeaders): boolean => {
  const site = headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return false;
  const { origin } = headers;
  if (origin === undefined) return true;
  try {
    return new URL(origin).host === headers.host;
  } catch {
    return false;
  }
};

/**
 * On loopback, a name other than loopback in `Host` means that some web site's name was pointed at this machine
 * (DNS rebinding), so the request is refused whatever it asks.
 */
export const isLoopbackName = (host: string | undefined): boolean =>
  host !== undefined && /^(localhost|127(\.\d{1,3}){3}|\[::1\])(:\d{1,5})?$/i.test(host);
