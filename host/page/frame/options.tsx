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

/** What plays is decided by the browser too; what can be chosen is on or off. */
const soundChoice = {
  get value(): 'off' | 'on' {
    return sound.value === 'off' ? 'off' : 'on';
  },
  set value(to: 'off' | 'on') {
    void setSound(to === 'on');
  },
};

const Choices = () => (
  <div class="options">
    <Choice of="Colours" all={{ day: 'Day', night: 'Night' }} chosen={palette} />
    <Choice of="Size" all={{ '1': '1×', '1.25': '1.25×', '1.5': '1.5×' }} chosen={size} />
    <Choice of="Degrees" all={{ C: '°C', F: '°F' }} chosen={unit} />
    <Choice of="Sound here" all={{ off: 'Off', on: 'On' }} chosen={soundChoice} />
  </div>
);

type ChoiceProps<Name extends string> = {
  readonly of: string;
  readonly all: Readonly<Record<Name, string>>;
  readonly chosen: { value: Name };
};

/** Every possibility is in view, and the one that holds is pressed. */
const Choice = <Name extends string>({ of, all, chosen }: ChoiceProps<Name>) => (
  <fieldset>
    <legend>{of}</legend>
    {(Object.keys(all) as Name[]).map((name) => (
      <Button
        key={name}
        aria-pressed={name === chosen.value}
        onClick={() => {
          chosen.value = name;
        }}
      >
        {all[name]}
      </Button>
    ))}
  </fieldset>
);
