import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { ask } from './ask.js';
import { returns } from './stream.js';

type How = {
  /** Asked again whenever this changes, and when the host is back after a silence. */
  readonly asOf?: unknown;
  readonly everyMs?: number;
};

/** What the host answered last at this path, nothing until then, and why there is none; `look` asks again. */
export const useAsked = <Answer>(path: string, { asOf, everyMs }: How = {}) => {
  const found = useSignal<Answer | undefined>(undefined);
  const trouble = useSignal('');
  const latest = useRef(path);
  latest.current = path;
  const look = () =>
    ask<Answer>(path).then(
      (answer) => {
        // A slow answer to the path before must not take this one's place.
        if (latest.current !== path) return;
        found.value = answer;
        trouble.value = '';
      },
      (error: Error) => {
        if (latest.current === path) trouble.value = error.message;
      },
    );
  // What was found elsewhere is not what this path has.
  useEffect(() => {
    found.value = undefined;
  }, [path]);
  useEffect(() => {
    look();
    const again = everyMs === undefined ? undefined : setInterval(look, everyMs);
    return () => clearInterval(again);
  }, [path, asOf, returns.value]);
  return { found, trouble, look };
};
