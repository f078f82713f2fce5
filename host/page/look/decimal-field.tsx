import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';

/** A number as people type it, with a comma or a point; undefined for anything else. */
export const decimalOf = (text: string): number | undefined => {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  return /^-?\d+(\.\d*)?$/.test(plain) ? Number(plain) : undefined;
};

type Props = {
  readonly label: string;
  readonly value: number;
  /** What was typed; undefined while it is no number. */
  readonly set: (typed: number | undefined) => void;
};

/** A browser's own number field drops a decimal comma where the page's language has a point: 68,5 would become 685. */
export const DecimalField = ({ label, value, set }: Props) => {
  const wrong = useSignal(false);
  const id = useId();
  return (
    <label>
      {label}
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        defaultValue={String(value)}
        aria-invalid={wrong.value}
        aria-describedby={wrong.value ? id : undefined}
        onInput={(event) => {
          const typed = decimalOf(event.currentTarget.value);
          wrong.value = typed === undefined;
          set(typed);
        }}
      />
      {wrong.value && (
        <span id={id} class="trouble">
          must be a number
        </span>
      )}
    </label>
  );
};
