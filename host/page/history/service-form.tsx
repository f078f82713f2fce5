import { type Signal, useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import type { ServiceEntry } from '../../store/index.js';
import { act } from '../link/act.js';
import { engineName, engines } from '../link/engines.js';
import { Button } from '../look/button.js';
import { clockText, dayText } from '../look/moments.js';

/** What a note has in place of the work: something seen, with nothing done. */
const noteWork = 'note';
type Entry = Pick<ServiceEntry, 'work' | 'note'>;
export const isNote = ({ work, note }: Entry): boolean => work === noteWork && note !== undefined;
/** In a few words: the work, or the note. */
export const entryText = (entry: Entry): string => (isNote(entry) ? (entry.note ?? '') : entry.work);

type Props = {
  readonly saved: () => void;
  /** The moment that is pointed at on the charts, in seconds. */
  readonly pointed: Signal<number | undefined>;
};

/** Work done, or a note, logged on the time line and drawn on the charts. */
export const ServiceForm = ({ saved, pointed }: Props) => {
  const answer = useSignal('');
  const kind = useSignal<'work' | 'note'>('work');
  const when = useRef<HTMLInputElement>(null);
  const at = pointed.value;
  const send = async (event: Event) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const fields = new FormData(form);
    const note = String(fields.get('note') ?? '').trim();
    const outcome = await act('api/service', {
      at: Date.parse(String(fields.get('at'))),
      engine: fields.get('engine'),
      work: fields.get('work') ?? noteWork,
      ...(note && { note }),
      restartsBaseline: fields.get('restartsBaseline') !== null,
    });
    answer.value = outcome.ok ? 'Saved to the log.' : outcome.message;
    if (outcome.ok) {
      form.reset();
      kind.value = 'work';
      saved();
    }
  };
  return (
    <details class="service">
      <summary>Log work or a note</summary>
      <form onSubmit={send}>
        <label>
          What
          <select
            value={kind.value}
            onChange={(event) => {
              kind.value = event.currentTarget.value === 'note' ? 'note' : 'work';
            }}
          >
            <option value="work">Work done</option>
            <option value="note">Note</option>
          </select>
        </label>
        <label>
          When
          <input ref={when} name="at" type="datetime-local" step="1" required />
        </label>
        {at !== undefined && (
          <Button
            onClick={() => {
              if (when.current) when.current.value = localMoment(at);
            }}
          >
            Use {dayText(at * 1000)} {clockText(at * 1000)} from the chart
          </Button>
        )}
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
        {kind.value === 'work' && (
          <label>
            Work
            <input name="work" required maxLength={120} placeholder="impeller changed" />
          </label>
        )}
        <label>
          Note
          <input name="note" maxLength={1000} required={kind.value === 'note'} />
        </label>
        {kind.value === 'work' && (
          <label class="tick">
            <input name="restartsBaseline" type="checkbox" />
            The engine may run differently now: start a new baseline
          </label>
        )}
        <button type="submit" class="strong">
          Save
        </button>
      </form>
      <p role="status">{answer.value}</p>
    </details>
  );
};

/** In the form of the field, by the reader's clock: `2026-11-28T14:32:10`. */
const localMoment = (s: number): string => {
  const date = new Date(s * 1000);
  return new Date(date.getTime() - date.getTimezoneOffset() * 60_000).toISOString().slice(0, 19);
};
