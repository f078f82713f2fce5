import { session } from '../link/session.js';
import { route, type Screen } from './route.js';

const tabs: readonly { readonly screen: Screen; readonly name: string }[] = [
  { screen: 'now', name: 'Now' },
  { screen: 'history', name: 'History' },
  { screen: 'health', name: 'Health' },
  { screen: 'calibrate', name: 'Calibrate' },
  { screen: 'set-up', name: 'Set-up' },
  { screen: 'bench', name: 'Bench' },
];

export const Tabs = () => (
  <nav class="tabs" aria-label="Screens">
    {tabs
      .filter(({ screen }) => screen !== 'bench' || session.value?.bench)
      .map(({ screen, name }) => (
        <a key={screen} href={`#${screen}`} aria-current={route.value.screen === screen ? 'page' : undefined}>
          {name}
        </a>
      ))}
  </nav>
);
