import { soundAllowed, toggleSound } from '../alerts/sound.js';
import { now } from '../link/stream.js';
import { unit } from '../look/degrees.js';
import { clockText, zoneText } from '../look/moments.js';
import { palette } from '../look/palette.js';
import { LinkChain } from './link-chain.js';

/** The top line: boat, the chain from board to page, the time, and the three choices a person at the helm makes. */
export const Head = () => {
  const boat = now.value?.nodes.find((node) => node.boat);
  return (
    <header class="head">
      <h1>
        {boat?.boat ?? 'Elbowroom'}
        {boat?.invented && <span class="invented">invented boat</span>}
      </h1>
      <LinkChain />
      <Time />
      <div class="choices">
        <Choice
          of="degrees"
          now={`°${unit.value}`}
          change={() => {
            unit.value = unit.value === 'C' ? 'F' : 'C';
          }}
        />
        <Choice
          of="colours"
          now={palette.value}
          change={() => {
            palette.value = palette.value === 'day' ? 'night' : 'day';
          }}
        />
        <Choice of="sound here" now={soundAllowed.value ? 'on' : 'off'} change={toggleSound} />
      </div>
    </header>
  );
};

type ChoiceProps = { readonly of: string; readonly now: string; readonly change: () => void };

/** What is chosen, and what holds at this moment: a label that names what a press would do is read as what is. */
const Choice = ({ of, now: holds, change }: ChoiceProps) => (
  <button type="button" onClick={change}>
    <small>{of}</small> {holds}
  </button>
);

const Time = () => {
  const at = now.value?.at;
  if (at === undefined) return <p class="time">no time yet</p>;
  return (
    <p class="time">
      <time dateTime={new Date(at).toISOString()}>{clockText(at)}</time> <small>{zoneText(at)}</small>
    </p>
  );
};
