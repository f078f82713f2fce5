import { useSignal } from '@preact/signals';
import { setSound, sound } from '../alerts/sound.js';
import { Button } from '../look/button.js';
import { unit } from '../look/degrees.js';
import { palette, size } from '../look/palette.js';

/** What a person at the helm chooses, kept in this browser. */
export const Options = () => {
  const open = useSignal(false);
  return (
    <>
      {sound.value === 'blocked' && (
        <Button class="blocked" onClick={() => setSound(true)}>
          Sound is blocked: touch here
        </Button>
      )}
      <Button
        class="options-button"
        aria-expanded={open.value}
        onClick={() => {
          open.value = !open.value;
        }}
      >
        Options
      </Button>
      {open.value && <Choices />}
    </>
  );
};

const Choices = () => (
  <div class="options">
    <Choice
      of="Colours"
      all={[
        ['day', 'Day'],
        ['night', 'Night'],
      ]}
      chosen={palette.value}
      choose={(to) => {
        palette.value = to;
      }}
    />
    <Choice
      of="Size"
      all={[
        ['1', '1×'],
        ['1.25', '1.25×'],
        ['1.5', '1.5×'],
      ]}
      chosen={size.value}
      choose={(to) => {
        size.value = to;
      }}
    />
    <Choice
      of="Degrees"
      all={[
        ['C', '°C'],
        ['F', '°F'],
      ]}
      chosen={unit.value}
      choose={(to) => {
        unit.value = to;
      }}
    />
    <Choice
      of="Sound here"
      all={[
        ['off', 'Off'],
        ['on', 'On'],
      ]}
      chosen={sound.value === 'off' ? 'off' : 'on'}
      choose={(to) => setSound(to === 'on')}
    />
  </div>
);

type ChoiceProps<Name extends string> = {
  readonly of: string;
  readonly all: readonly (readonly [name: Name, text: string])[];
  readonly chosen: Name;
  readonly choose: (name: Name) => void;
};

/** Every possibility is in view, and the one that holds is pressed. */
const Choice = <Name extends string>({ of, all, chosen, choose }: ChoiceProps<Name>) => (
  <fieldset>
    <legend>{of}</legend>
    {all.map(([name, text]) => (
      <Button key={name} aria-pressed={name === chosen} onClick={() => choose(name)}>
        {text}
      </Button>
    ))}
  </fieldset>
);
