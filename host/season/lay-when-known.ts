import type { Clock } from '../../node/index.js';
import type { LiveSource } from '../serve/live-source.js';
import type { Store } from '../store/index.js';
import { laySeason } from './lay-season.js';

type Options = {
  readonly store: Store;
  readonly live: LiveSource;
  readonly clock: Clock;
  readonly log: (text: string) => void;
};

/** Waits until a node of an invented boat has said which probes it has, then lays the season once. The answer stops waiting. */
export const laySeasonWhenKnown = ({ store, live, clock, log }: Options): (() => void) => {
  const end = new AbortController();
  let begun = false;
  const stop = live.on((node, message) => {
    if (begun || message.kind !== 'hello' || !message.invented) return;
    begun = true;
    laySeason({ store, clock, node, probes: message.probes, signal: end.signal }).then(
      (laid) => laid && log('A season of invented history was laid into the store, marked as invented.'),
      (error: Error) => log(`No invented season: ${error.message}`),
    );
  });
  return () => {
    stop();
    end.abort();
  };
};
