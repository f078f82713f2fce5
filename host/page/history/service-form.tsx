import { useSignal } from '@preact/signals';
import { act } from '../link/act.js';
import { engineName, engines } from '../link/engines.js';

/** Work done, logged on the time line. */
export const ServiceForm = ({ saved }: { readonly saved: () => void }) => {
  const answer = useSignal('');
  const send = async (event: Event) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const fields = new FormData(form);
    const note = String(fields.get('note') ?? '').trim();
    const outcome = await act('api/service', {
      at: Date.parse(String(fields.get('at'))),
      engine: fields.get('engine'),
      work: fields.get('work'),
      ...(note && { note }),
      restartsBaseline: fields.get('restartsBaseline') !== null,
    });
    answer.value = outcome.ok ? 'Saved to the log.' : outcome.message;
    if (outcome.ok) {
      form.reset();
      saved();
    }
  };
  return (
    <details class="service">
      <summary>Log work done</summary>
      <form onSubmit={send}>
        <label>
          When
          <input name="at" type="datetime-local" required />
        </label>
        <label>
          Engine
          <select name="engine">
            {engines().map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
            {engines().length > 1 && <option value="all">{engineName('all')}</option>}
          </select>
        </label>
        <label>
          Work
          <input name="work" required maxLength={120} placeholder="impeller changed" />
        </label>
        <label>
          Note
          <input name="note" maxLength={1000} />
        </label>
        <label class="tick">
          <input name="restartsBaseline" type="checkbox" />
          The engine may run differently now: start a new baseline
        </label>
        <button type="submit" class="strong">
          Save
        </button>
      </form>
      <p role="status">{answer.value}</p>
    </details>
  );
};
