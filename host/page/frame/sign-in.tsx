import { useSignal } from '@preact/signals';
import { act } from '../link/act.js';
import { askSession } from '../link/session.js';
import { openStream } from '../link/stream.js';
import { Trouble } from '../look/trouble.js';

/** Signing in, where the owner set a pass-phrase. The buzzer at the board needs none. */
export const SignIn = () => {
  const answer = useSignal('');
  const send = async (event: Event) => {
    event.preventDefault();
    const fields = new FormData(event.currentTarget as HTMLFormElement);
    const outcome = await act('api/sign-in', { passPhrase: fields.get('passPhrase') });
    answer.value = outcome.ok ? '' : outcome.message;
    if (!outcome.ok) return;
    await askSession();
    openStream();
  };
  return (
    <div class="empty">
      <h2>Sign in</h2>
      <p>This boat asks for a pass-phrase. Its buzzer works with or without it.</p>
      <form onSubmit={send}>
        <label>
          Pass-phrase
          <input name="passPhrase" type="password" autocomplete="current-password" required />
        </label>
        <button type="submit" class="strong">
          Sign in
        </button>
      </form>
      <Trouble>{answer.value}</Trouble>
    </div>
  );
};
