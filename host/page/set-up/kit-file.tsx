import { signal, useSignal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import type { KitText } from '../../kit-file/kit-file.js';
import { act } from '../link/act.js';
import { ask } from '../link/ask.js';
import { mayAct } from '../link/session.js';
import { Button } from '../look/button.js';

/** What is typed and not saved, kept while another screen is looked at. */
const draft = signal<string | undefined>(undefined);

/** The kit file itself: read it, change it, have it checked by the node's own schema, write it with a backup. */
export const KitFile = () => {
  const kit = useSignal<KitText | undefined>(undefined);
  const answer = useSignal('');
  const writing = useSignal(false);
  const sure = useSignal(false);
  const [hasDraft] = useState(draft.value !== undefined);
  const text = draft.value ?? kit.value?.text ?? '';
  const isEdited = kit.value !== undefined && draft.value !== undefined && draft.value !== kit.value.text;
  const load = () =>
    ask<KitText>('api/kit').then(
      (found) => {
        kit.value = found;
        answer.value = found.problem ?? '';
      },
      (error: Error) => {
        answer.value = error.message;
      },
    );
  useEffect(() => void load(), []);
  // Leaving the page altogether asks, in the browser's own words.
  useEffect(() => {
    if (!isEdited) return;
    const keep = (event: BeforeUnloadEvent) => event.preventDefault();
    addEventListener('beforeunload', keep);
    return () => removeEventListener('beforeunload', keep);
  }, [isEdited]);
  const check = async () => {
    const outcome = await act('api/kit/check', { text });
    answer.value = outcome.ok ? 'The kit file is valid.' : outcome.message;
  };
  const write = async () => {
    writing.value = true;
    const outcome = await act('api/kit', { text });
    if (outcome.ok) {
      draft.value = undefined;
      await load();
    }
    writing.value = false;
    answer.value = outcome.ok
      ? 'Saved; the old file is kept beside it. Moved wires need a restart of the node.'
      : outcome.message;
  };
  const reload = async () => {
    if (isEdited && !sure.value) {
      sure.value = true;
      return;
    }
    sure.value = false;
    draft.value = undefined;
    await load();
  };
  return (
    <details class="kit-file" open={hasDraft}>
      <summary>The kit file{kit.value && ` ${kit.value.path}`}</summary>
      <label class="unseen" for="kit-text">
        Kit file
      </label>
      <textarea
        id="kit-text"
        rows={24}
        spellcheck={false}
        value={text}
        onInput={(event) => {
          draft.value = event.currentTarget.value;
          sure.value = false;
        }}
      />
      {isEdited && <p class="unsaved">Your changes are not saved yet.</p>}
      <p>
        <Button onClick={check} disabled={!mayAct()}>
          Check
        </Button>{' '}
        <Button class="strong" onClick={write} disabled={!mayAct() || writing.value || !isEdited}>
          Save
        </Button>{' '}
        <Button onClick={reload}>{sure.value ? 'Yes, discard my changes' : 'Reload'}</Button>
      </p>
      <pre role="status">{answer.value}</pre>
    </details>
  );
};
