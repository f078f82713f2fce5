import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ProbeNow } from '../../serve/now.js';
import type { Habit } from '../../set-up/habit.js';
import { act } from '../link/act.js';
import { ask } from '../link/ask.js';
import { mayAct } from '../link/session.js';
import { fromReader, toReader, unit, unitSign } from '../look/degrees.js';
import { HabitDrawing } from './habit-drawing.js';

type Limit = NonNullable<ProbeNow['limits']['alarm']>;
type Kind = 'warning' | 'alarm';

const usual: Readonly<Record<Kind, Limit>> = {
  warning: { raiseAtC: 82, clearAtC: 78, holdS: 2 },
  alarm: { raiseAtC: 93, clearAtC: 88, holdS: 1 },
};

/** The setpoints of one probe as points on its scale, over what history says: how often each would have fired. */
export const Setpoints = ({ probe }: { readonly probe: ProbeNow }) => {
  const limits = useSignal<{ readonly [kind in Kind]?: Limit | undefined }>({ ...probe.limits });
  const habit = useSignal<Habit | undefined>(undefined);
  const answer = useSignal('');
  useEffect(() => {
    ask<Habit>(`api/habit?probe=${encodeURIComponent(probe.id)}`).then(
      (found) => {
        habit.value = found;
      },
      () => undefined,
    );
  }, [probe.id]);
  const save = async (event: Event) => {
    event.preventDefault();
    const { warning, alarm } = limits.value;
    const outcome = await act('api/kit/limits', {
      probe: probe.id,
      limits: { ...(warning && { warning }), ...(alarm && { alarm }) },
    });
    answer.value = outcome.ok
      ? 'Written, and the old file kept beside it. The node takes them over when it has read the file again.'
      : outcome.message;
  };
  const set = (kind: Kind, limit: Limit | undefined) => {
    limits.value = { ...limits.value, [kind]: limit };
  };
  return (
    <section class="setpoints" aria-label={`Setpoints of ${probe.name}`}>
      <h3>Setpoints of {probe.name}</h3>
      <HabitDrawing probe={probe} habit={habit.value} limits={limits.value} />
      <form onSubmit={save}>
        {(['warning', 'alarm'] as const).map((kind) => (
          <LimitFields
            key={kind}
            kind={kind}
            limit={limits.value[kind]}
            set={(limit) => set(kind, limit)}
            habit={habit.value}
          />
        ))}
        <button type="submit" class="strong" disabled={!mayAct()}>
          Write setpoints
        </button>
      </form>
      <Order warning={limits.value.warning} alarm={limits.value.alarm} />
      <p role="status">{answer.value}</p>
      <p class="quiet">
        A setpoint too high is late, one too low is silenced by hand. Rubber exhaust hose and the engine's own
        manual set the upper bound; this kit does not replace the engine's own alarms.
      </p>
    </section>
  );
};

/** A warning is there to come first. */
const Order = ({
  warning,
  alarm,
}: {
  readonly warning?: Limit | undefined;
  readonly alarm?: Limit | undefined;
}) =>
  warning && alarm && warning.raiseAtC >= alarm.raiseAtC ? (
    <p class="trouble">The warning stands at or above the alarm: it would never come before it.</p>
  ) : null;

type FieldProps = {
  readonly kind: Kind;
  readonly limit: Limit | undefined;
  readonly set: (limit: Limit | undefined) => void;
  readonly habit: Habit | undefined;
};

const LimitFields = ({ kind, limit, set, habit }: FieldProps) => {
  const field = (name: 'raiseAtC' | 'clearAtC', label: string) =>
    limit && (
      <label>
        {label} {unitSign()}
        <input
          type="number"
          step="any"
          value={Number(toReader(limit[name]).toFixed(1))}
          onChange={(event) =>
            set({ ...limit, [name]: Number(fromReader(event.currentTarget.valueAsNumber).toFixed(2)) })
          }
          key={unit.value}
        />
      </label>
    );
  return (
    <fieldset class={kind}>
      <legend>
        <label class="tick">
          <input
            type="checkbox"
            checked={limit !== undefined}
            onChange={() => set(limit ? undefined : usual[kind])}
          />
          {kind}
        </label>
      </legend>
      {field('raiseAtC', 'Raise at')}
      {field('clearAtC', 'Clear at')}
      {limit && (
        <label>
          For s
          <input
            type="number"
            min="0"
            max="60"
            step="any"
            value={limit.holdS}
            onChange={(event) => set({ ...limit, holdS: event.currentTarget.valueAsNumber })}
          />
        </label>
      )}
      <p class="verdict">{limit && habit ? wouldHave(habit, limit.raiseAtC) : ''}</p>
    </fieldset>
  );
};

/** In words: how often a limit there would have been passed in the stored hours. */
const wouldHave = (habit: Habit, raiseAtC: number): string => {
  const hours = `${habit.hours.toFixed(habit.hours < 10 ? 1 : 0)} stored hours`;
  if (habit.hours < 0.1) return 'No history yet to judge it by.';
  const times = habit.passed[Math.max(0, Math.ceil(raiseAtC) - habit.fromC)] ?? 0;
  return times === 0
    ? `Never passed in ${hours}.`
    : `Passed ${times} ${times === 1 ? 'time' : 'times'} in ${hours}.`;
};
