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
        <button type="button" onClick={() => (unit.value = unit.value === 'C' ? 'F' : 'C')}>
          <span aria-hidden="true">°{unit.value}</span>
          <span class="unseen">{unit.value === 'C' ? 'Show Fahrenheit' : 'Show Celsius'}</span>
        </button>
        <button
          type="button"
          aria-pressed={palette.value === 'night'}
          onClick={() => (palette.value = palette.value === 'day' ? 'night' : 'day')}
        >
          Night
        </button>
        <button type="button" aria-pressed={soundAllowed.value} onClick={toggleSound}>
          Sound
        </button>
      </div>
    </header>
  );
};

const Time = () => {
  const at = now.value?.at;
  if (at === undefined) return <p class="time">no time yet</p>;
  return (
    <p class="time">
      <time dateTime={new Date(at).toISOString()}>{clockText(at)}</time> <small>{zoneText(at)}</small>
    </p>
  );
};
