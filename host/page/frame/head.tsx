import { link, now } from '../link/stream.js';
import { clockText, zoneText } from '../look/moments.js';
import { LinkChain } from './link-chain.js';
import { Options } from './options.js';
import { Tabs } from './tabs.js';

/** The top line: boat, screens, whether it is live, the time, and what a person at the helm may choose. */
export const Head = () => {
  const boat = now.value?.nodes.find((node) => node.boat);
  return (
    <header class="head">
      <h1>
        {boat?.boat ?? 'Elbowroom'} {boat?.invented && <span class="invented">invented boat</span>}
      </h1>
      <Tabs />
      <LinkChain />
      <Time />
      <Options />
    </header>
  );
};

/** The time of the data: without data there is none, and a stopped clock would mislead. */
const Time = () => {
  const at = now.value?.at;
  if (at === undefined || link.value === 'silent') return <p class="time">--:--:--</p>;
  return (
    <p class="time">
      <time dateTime={new Date(at).toISOString()}>{clockText(at)}</time> <small>{zoneText(at)}</small>
    </p>
  );
};
