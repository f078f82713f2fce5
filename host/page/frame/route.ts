import { signal } from '@preact/signals';

/** Every screen with its title, in the order of the tabs. */
export const titles = {
  now: 'Now',
  history: 'History',
  health: 'Health',
  calibrate: 'Calibrate',
  'set-up': 'Set-up',
  diagnostics: 'Diagnostics',
  bench: 'Bench',
} as const;
export type Screen = keyof typeof titles;
export const screens = Object.keys(titles) as readonly Screen[];

export type Route = { readonly screen: Screen; readonly query: URLSearchParams };

/** `#history?from=..&to=..`: the address bar holds the whole view, so that a link reproduces it. */
const readRoute = (): Route => {
  const [name = '', query = ''] = location.hash.replace(/^#\/?/, '').split('?');
  return { screen: screens.find((screen) => screen === name) ?? 'now', query: new URLSearchParams(query) };
};

export const route = signal<Route>({ screen: 'now', query: new URLSearchParams() });

export const startRoute = (): void => {
  const read = () => {
    route.value = readRoute();
  };
  read();
  addEventListener('hashchange', () => {
    const before = route.value.screen;
    read();
    // Another screen begins at its top, where the alerts are.
    if (route.value.screen !== before) scrollTo(0, 0);
  });
};

/** Changes the query of the present screen without a step in the browser's history for every pan. */
export const keepInLink = (query: Readonly<Record<string, string>>): void => {
  const text = new URLSearchParams(query).toString();
  history.replaceState(null, '', `#${route.value.screen}${text ? `?${text}` : ''}`);
};
