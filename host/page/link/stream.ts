import { computed, signal } from '@preact/signals';
import type { ReadingRow } from '../../../node/index.js';
import type { Now } from '../../serve/now.js';
import { patched } from '../../serve/patch.js';
import { boatScale } from '../look/degrees.js';
import { ask } from './ask.js';
import { askSession, mayWatch } from './session.js';

export type LiveRows = {
  readonly node: string;
  /** Differs once the node's clock was set or the node restarted: times do not run on from before. */
  readonly clock: string;
  readonly rows: readonly ReadingRow[];
};

/** The host answers at least once a second; with the look below, lost contact shows within 4 s. */
const silentAfterMs = 3_500;
/** Browsers give up on a stream the server refused (starting, too many pages); we do not. */
const tryAgainAfterMs = 2_000;
const giveUpOnStreamAfterMs = 10_000;

/** The last whole document, however old; what is shown as the present is `current`. */
export const now = signal<Now | undefined>(undefined);
/** `first` until anything was received; `live`; `silent` when contact with the host is lost. */
export const link = signal<'first' | 'live' | 'silent'>('first');
/** Seconds since the last message of the host, by this tablet's own steady clock. */
export const silentS = signal(0);
/** How often the host came back after a silence: what could not be had then is asked for again. */
export const returns = signal(0);

/** What may be shown as the present: without contact to the host no figure, no rate and no room. */
export const current = computed<Now | undefined>(() => {
  const seen = now.value;
  if (!seen || link.value !== 'silent') return seen;
  return {
    ...seen,
    probes: seen.probes.map(({ roomC: _c, roomS: _s, roomTo: _t, riseCPerS: _r, ...probe }) => ({
      ...probe,
      quality: 'no-contact' as const,
    })),
  };
});

let contactAtMs = performance.now();
let source: EventSource | undefined;
/** What the stream has sent so far; patches change this, not what was asked for beside it. */
let base: Now | undefined;
const rowListeners = new Set<(live: LiveRows) => void>();

/** Calls back with every batch of readings as it arrives; the answer stops the calls. */
export const onRows = (listener: (live: LiveRows) => void): (() => void) => {
  rowListeners.add(listener);
  return () => rowListeners.delete(listener);
};

const contact = () => {
  if (link.value === 'silent') returns.value += 1;
  contactAtMs = performance.now();
  silentS.value = 0;
  link.value = 'live';
};

const take = (received: Now) => {
  boatScale.value = received.degrees;
  now.value = received;
};

/** Opens the stream, or opens it again. */
export const openStream = (): void => {
  source?.close();
  const mine = new EventSource('api/events');
  source = mine;
  mine.addEventListener('now', (event) => {
    contact();
    base = JSON.parse(event.data) as Now;
    take(base);
  });
  mine.addEventListener('patch', (event) => {
    contact();
    base = patched(base, JSON.parse(event.data)) as Now;
    take(base);
  });
  mine.addEventListener('readings', (event) => {
    contact();
    const live = JSON.parse(event.data) as LiveRows;
    for (const listener of rowListeners) listener(live);
  });
  mine.addEventListener('error', () => {
    if (mine.readyState !== EventSource.CLOSED) return;
    void askSession();
    setTimeout(() => source === mine && mayWatch() && openStream(), tryAgainAfterMs);
  });
};

/** Opens the stream and watches its silence. Called once; resolves when the first figures are here, or cannot be had. */
export const startStream = (): Promise<void> => {
  openStream();
  setInterval(() => {
    const silentMs = performance.now() - contactAtMs;
    silentS.value = Math.floor(silentMs / 1000);
    if (silentMs < silentAfterMs) return;
    if (now.value) link.value = 'silent';
    if (mayWatch() && silentMs > giveUpOnStreamAfterMs && source?.readyState !== EventSource.CONNECTING) {
      contactAtMs = performance.now() - silentAfterMs;
      openStream();
    }
  }, 250);
  // Asked for by the document itself, so that it is here before the stream is.
  return ask<Now & { readonly kept?: true }>('api/now').then(
    (received) => {
      if (now.value) return;
      take(received);
      if (received.kept) {
        contactAtMs = performance.now() - (Date.now() - received.at);
        link.value = 'silent';
      } else contact();
    },
    () => undefined,
  );
};
