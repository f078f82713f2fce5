import { type Clock, loadKit, settingsFromKit } from '../../node/index.js';
import type { LiveSource } from '../live/live-source.js';
import type { Store } from '../store/index.js';
import { writeSeason } from './write-season.js';

type Options = {
  readonly store: Store;
  readonly live: LiveSource;
  readonly clock: Clock;
  /** The kit of the invented boat: its limits decide which alerts the season had. */
  readonly kitPath: string;
  readonly log: (text: string) => void;
};

/** Waits until a node of an invented boat has reported its probes, then writes the season once. What it returns stops waiting. */
export const writeSeasonWhenKnown = ({ store, live, clock, kitPath, log }: Options): (() => void) => {
  const end = new AbortController();
  let begun = false;
  const stop = live.on(async (node, message) => {
    if (begun || message.kind !== 'hello' || !message.invented) return;
    begun = true;
    try {
      const kit = loadKit(kitPath);
      const settings = settingsFromKit(kit);
      const { probes } = message;
      if (
        await writeSeason({ store, clock, node, engines: kit.engines, probes, settings, signal: end.signal })
      )
        log('A season of invented history was written to the store, marked as invented.');
    } catch (error) {
      log(`No invented season: ${(error as Error).message}`);
    }
  });
  return () => {
    stop();
    end.abort();
  };
};
