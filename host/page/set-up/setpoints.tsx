import { signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Exceedance } from '../../replay/exceedance.js';
import type { ProbeNow } from '../../serve/now.js';
import { act } from '../link/act.js';
import { useAsked } from '../link/asked.js';
import { mayAct } from '../link/session.js';
import { Button } from '../look/button.js';
import { DecimalField } from '../look/decimal-field.js';
import { degreesText, fromReader, toReader, unit, unitSign } from '../look/degrees.js';
import { ExceedanceDrawing } from './exceedance-drawing.js';
import { GuardBandWords } from './guard-band.js';
import { type Kind, type Limit, type Limits, limitTroubles } from './limit-troubles.js';

/** Whether limits were typed that are not saved yet. */
export const unsaved = signal(false);

/** Where a setpoint starts when it is ticked: where the guard's own is for a wet elbow that has none. */
export const usualSetpoints: Readonly<Record<Kind, Limit>> = {
  warning: { raiseAtC: 82, clearAtC: 76, holdS: 2 },
  alarm: { raiseAtC: 93, clearAtC: 85, holdS: 1 },
};

/** The setpoints of one probe as points on its scale, over what history says: how often each would have fired. */
export const Setpoints = ({ probe }: { readonly probe: ProbeNow }) => {
  const limits = useSignal<Limits>({ ...probe.limits });
  /** What history says about limits of this probe. */
  const exceedance = useAsked<Exceedance>(`api/exceedance?probe=${encodeURIComponent(probe.id)}`).found.value;
  const answer = useSignal('');
  const writing = useSignal(false);
  const unread = useSignal<readonly string[]>([]);
  const removing = useSignal<readonly Kind[]>([]);
  /** Fields keep what is typed in them; another version is drawn again from the limits. */
  const version = useSignal(0);
  const undo = () => {
    limits.value = { ...probe.limits };
    unread.value = [];
    removing.value = [];
    answer.value = '';
    version.value += 1;
  };
  const edited =
    JSON.stringify(limits.value) !== JSON.stringify({ ...probe.limits }) || unread.value.length > 0;
  useUnsaved(edited);
  const troubles = limitTroubles(limits.value);
  const submit = (event: Event) => {
    event.preventDefault();
    removing.value = (['warning', 'alarm'] as const).filter(
      (kind) => probe.limits[kind] && !limits.value[kind],
    );
    if (removing.value.length === 0) void save();
  };
  const save = async () => {
    removing.value = [];
    const { warning, alarm } = limits.value;
    writing.value = true;
    const outcome = await act('api/kit/limits', {
      probe: probe.id,
      limits: { ...(warning && { warning }), ...(alarm && { alarm }) },
    });
    writing.value = false;
    answer.value = outcome.ok
      ? 'Saved; the old file is kept beside it. The node uses them when it has read the file again.'
      : outcome.message;
  };
  const tick = (kind: Kind, limit: Limit | undefined) => {
    limits.value = { ...limits.value, [kind]: limit };
    unread.value = unread.value.filter((field) => !field.startsWith(kind));
  };
  const type = (kind: Kind, name: keyof Limit, typed: number | undefined) => {
    const limit = limits.value[kind];
    const field = `${kind} ${name}`;
    unread.value = unread.value.filter((other) => other !== field);
    if (typed === undefined) unread.value = [...unread.value, field];
    else if (limit) limits.value = { ...limits.value, [kind]: { ...limit, [name]: typed } };
  };
  return (
    <section class="setpoints" aria-label={`Limits of ${probe.name}`}>
      <h3>Limits of {probe.name}</h3>
      <ExceedanceDrawing probe={probe} exceedance={exceedance} limits={limits.value} />
      <form onSubmit={submit}>
        {(['warning', 'alarm'] as const).map((kind) => (
          <LimitFields
            key={`${kind} ${version.value}`}
            kind={kind}
            limit={limits.value[kind]}
            builtIn={probe.place === 'wet-elbow'}
            tick={(limit) => tick(kind, limit)}
            type={(name, typed) => type(kind, name, typed)}
            exceedance={exceedance}
          />
        ))}
        <button
          type="submit"
          class="strong"
          disabled={!mayAct() || writing.value || unread.value.length > 0 || troubles.length > 0}
        >
          Save limits
        </button>
        <Button disabled={!edited} onClick={undo}>
          Undo changes
        </Button>
      </form>
      <GuardBandWords probe={probe} limitC={limits.value.alarm?.raiseAtC} />
      {removing.value.length > 0 && <Removal probe={probe} kinds={removing.value} yes={save} no={undo} />}
      {troubles.map((trouble) => (
        <p key={trouble} class="trouble">
          {trouble}
        </p>
      ))}
      <p role="status">{answer.value}</p>
      <p class="quiet">
        A limit too high is late, one too low is ignored. Rubber exhaust hose and the engine's own manual set
        the upper bound; this kit does not replace the engine's own alarms.
      </p>
    </section>
  );
};

/** Other screens, and the browser, ask before they leave limits that are not saved. */
const useUnsaved = (edited: boolean): void =>
  useEffect(() => {
    unsaved.value = edited;
    const ask = (event: BeforeUnloadEvent) => event.preventDefault();
    if (edited) addEventListener('beforeunload', ask);
    return () => {
      removeEventListener('beforeunload', ask);
      unsaved.value = false;
    };
  }, [edited]);

/** Asks before a limit is removed, and says what remains in force. */
const Removal = ({ probe, kinds, yes, no }: RemovalProps) => (
  <div class="trouble" role="alert">
    <p>
      Remove your {kinds.join(' and ')} limit of {probe.name}?{' '}
      {probe.place === 'wet-elbow'
        ? `The guard’s own stays in force: ${kinds.map((kind) => `${kind} at ${degreesText(usualSetpoints[kind].raiseAtC, 0)}`).join(', ')}.`
        : 'No other limit watches this probe.'}
    </p>
    <Button onClick={yes}>Remove it</Button> <Button onClick={no}>Keep it</Button>
  </div>
);

type RemovalProps = {
  readonly probe: ProbeNow;
  readonly kinds: readonly Kind[];
  readonly yes: () => void;
  readonly no: () => void;
};

type FieldProps = {
  readonly kind: Kind;
  readonly limit: Limit | undefined;
  /** Whether the guard has a limit of its own for a probe that has none. */
  readonly builtIn: boolean;
  readonly tick: (limit: Limit | undefined) => void;
  readonly type: (name: keyof Limit, typed: number | undefined) => void;
  readonly exceedance: Exceedance | undefined;
};

const LimitFields = ({ kind, limit, builtIn, tick, type, exceedance }: FieldProps) => {
  const field = (name: 'raiseAtC' | 'clearAtC', label: string) =>
    limit && (
      <DecimalField
        key={`${name} ${unit.value}`}
        label={`${label} ${unitSign()}`}
        value={Number(toReader(limit[name]).toFixed(1))}
        set={(typed) => type(name, typed === undefined ? undefined : Number(fromReader(typed).toFixed(2)))}
      />
    );
  return (
    <fieldset class={kind}>
      <legend>
        <label class="tick">
          <input
            type="checkbox"
            checked={limit !== undefined}
            onChange={() => tick(limit ? undefined : usualSetpoints[kind])}
          />
          {kind}
        </label>
      </legend>
      {field('raiseAtC', 'Above')}
      {field('clearAtC', 'Ends below')}
      {limit && <DecimalField label="After s" value={limit.holdS} set={(typed) => type('holdS', typed)} />}
      {!limit && builtIn && (
        <p>
          Without a limit of yours the guard uses its own {kind} limit,{' '}
          {degreesText(usualSetpoints[kind].raiseAtC, 0)}.
        </p>
      )}
      <p class="verdict">{limit && exceedance ? wouldHave(exceedance, limit.raiseAtC) : ''}</p>
    </fieldset>
  );
};

/** In words: how often a limit there would have been passed in the stored hours. */
const wouldHave = (exceedance: Exceedance, raiseAtC: number): string => {
  const hours = `${exceedance.hours.toFixed(exceedance.hours < 10 ? 1 : 0)} stored hours`;
  if (exceedance.hours < 0.1) return 'No history yet to judge it by.';
  const times = exceedance.passed[Math.max(0, Math.ceil(raiseAtC) - exceedance.fromC)] ?? 0;
  return times === 0
    ? `Never reached in ${hours}.`
    : `Reached ${times} ${times === 1 ? 'time' : 'times'} in ${hours}.`;
};
