import { effect, type Signal, useSignal } from '@preact/signals';
import { useLayoutEffect } from 'preact/hooks';
import type { HistoryContents, HistoryView } from '../../serve/history-routes.js';
import { ask } from '../link/ask.js';
import { returns } from '../link/stream.js';
import type { Shown } from './span.js';

const firstProbes = ['wet-elbow', 'dry-exhaust', 'sea-water'];
/** A hand that drags asks at most this often; the first question, and one after a rest, goes at once. */
const askEveryMs = 120;

/** What the store holds, and the part of it that is looked at: asked again whenever span or probes change. */
export const useStored = (shown: Signal<Shown>, chosen: Signal<readonly string[]>) => {
  const contents = useSignal<HistoryContents | undefined>(undefined);
  const view = useSignal<HistoryView | undefined>(undefined);
  const trouble = useSignal('');
  const asOf = useSignal(0);

  // Layout effects: asked before the browser paints, not a tenth of a second after.
  useLayoutEffect(() => {
    ask<HistoryContents>('api/history/contents').then(
      (found) => {
        contents.value = found;
        if (!chosen.value.length)
          chosen.value = found.probes.filter((p) => firstProbes.includes(p.place)).map((p) => p.name);
      },
      (error: Error) => {
        trouble.value = error.message;
      },
    );
  }, [returns.value]);

  useLayoutEffect(() => {
    let askedAtMs = Number.NEGATIVE_INFINITY;
    let last = new AbortController();
    const done = effect(() => {
      const { from, to } = shown.value;
      const probes = chosen.value.join(',');
      asOf.value;
      returns.value;
      if (!probes) return;
      const look = () => {
        askedAtMs = performance.now();
        last.abort();
        last = new AbortController();
        const buckets = Math.max(100, Math.min(1600, Math.round(document.documentElement.clientWidth)));
        const query = new URLSearchParams({
          from: String(from),
          to: String(to),
          probes,
          buckets: String(buckets),
        });
        ask<HistoryView>(`api/history?${query}`, last.signal).then(
          (answer) => {
            view.value = answer;
            trouble.value = '';
          },
          (error: Error) => {
            if (error.name !== 'AbortError') trouble.value = error.message;
          },
        );
      };
      const rested = performance.now() - askedAtMs > askEveryMs;
      if (rested) look();
      const wait = rested ? undefined : setTimeout(look, askEveryMs);
      return () => clearTimeout(wait);
    });
    return () => {
      done();
      last.abort();
    };
  }, []);

  const askAgain = () => {
    asOf.value += 1;
  };
  return { contents, view, trouble, askAgain };
};
