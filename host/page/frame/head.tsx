import { session } from '../link/session.js';
import { link, now } from '../link/stream.js';
import { clockText, zoneText } from '../look/moments.js';
import { LinkChain } from './link-chain.js';
import { Options } from './options.js';
import { route, type Screen, screens, titles } from './route.js';

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

/** Diagnostics is reached from Health. */
const isTab = (screen: Screen) =>
  screen !== 'diagnostics' && (screen !== 'bench' || session.value?.bench === true);

const Tabs = () => (
  <nav class="tabs" aria-label="Screens">
    {screens.filter(isTab).map((screen) => (
      <a key={screen} href={`#${screen}`} aria-current={route.value.screen === screen ? 'page' : undefined}>
        {titles[screen]}
      </a>
    ))}
  </nav>
);

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
