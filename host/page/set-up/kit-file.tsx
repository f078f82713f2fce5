import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { KitText } from '../../kit-file/kit-file.js';
import { act } from '../link/act.js';
import { ask } from '../link/ask.js';
import { mayAct } from '../link/session.js';

/** The kit file itself: read it, change it, have it checked by the node's own schema, write it with a backup. */
export const KitFile = () => {
  const kit = useSignal<KitText | undefined>(undefined);
  const text = useSignal('');
  const answer = useSignal('');
  const writing = useSignal(false);
  const load = () =>
    ask<KitText>('api/kit').then(
      (found) => {
        kit.value = found;
        text.value = found.text;
        answer.value = found.problem ?? '';
      },
      (error: Error) => {
        answer.value = error.message;
      },
    );
  useEffect(() => void load(), []);
  const check = async () => {
    const outcome = await act('api/kit/check', { text: text.value });
    answer.value = outcome.ok ? 'The kit file is valid.' : outcome.message;
  };
  const write = async () => {
    writing.value = true;
    const outcome = await act('api/kit', { text: text.value });
    if (outcome.ok) await load();
    writing.value = false;
    answer.value = outcome.ok
      ? 'Saved; the old file is kept beside it. Moved wires need a restart of the node.'
      : outcome.message;
  };
  return (
    <details class="kit-file">
      <summary>The kit file{kit.value && ` ${kit.value.path}`}</summary>
      <label class="unseen" for="kit-text">
        Kit file
      </label>
      <textarea
        id="kit-text"
        rows={24}
        spellcheck={false}
        value={text.value}
        onInput={(event) => {
          text.value = event.currentTarget.value;
        }}
      />
      <p>
        <button type="button" onClick={check} disabled={!mayAct()}>
          Check
        </button>{' '}
        <button
          type="button"
          class="strong"
          onClick={write}
          disabled={!mayAct() || writing.value || text.value === kit.value?.text}
        >
          Save
        </button>{' '}
        <button type="button" onClick={load}>
          Reload
        </button>
      </p>
      <pre role="status">{answer.value}</pre>
    </details>
  );
};
