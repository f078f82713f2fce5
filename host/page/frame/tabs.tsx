import { route, type Screen } from './route.js';

const tabs: readonly { readonly screen: Screen; readonly name: string }[] = [{ screen: 'now', name: 'Now' }];

export const Tabs = () => (
  <nav class="tabs" aria-label="Screens">
    {tabs.map(({ screen, name }) => (
      <a key={screen} href={`#${screen}`} aria-current={route.value.screen === screen ? 'page' : undefined}>
        {name}
      </a>
    ))}
  </nav>
);
