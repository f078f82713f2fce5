import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { NowScreen } from '../now/now-screen.js';
import type { Screen } from './route.js';

type Others = typeof import('./other-screens.js');

const others = signal<Others | 'coming' | 'not had'>('coming');

/** Fetches the screens beside Now, once they are wanted or nothing else is to do: they are then here though the host goes. */
export const fetchOthers = async (): Promise<void> => {
  try {
    others.value = await import('./other-screens.js');
  } catch {
    others.value = 'not had';
  }
};

export const ScreenOf = ({ screen }: { readonly screen: Screen }) => {
  if (screen === 'now') return <NowScreen />;
  if (others.value === 'coming') return <Coming />;
  if (others.value === 'not had') return <NotHad />;
  const { BenchScreen, CalibrateScreen, HealthScreen, HistoryScreen, SetUpScreen } = others.value;
  switch (screen) {
    case 'history':
      return <HistoryScreen />;
    case 'health':
      return <HealthScreen />;
    case 'set-up':
      return <SetUpScreen />;
    case 'calibrate':
      return <CalibrateScreen />;
    case 'bench':
      return <BenchScreen />;
  }
};

const Coming = () => {
  useEffect(() => void fetchOthers(), []);
  return (
    <p class="empty" aria-busy="true">
      Opening…
    </p>
  );
};

/** The host went before it gave them, or was renewed since: only the whole page anew helps. */
const NotHad = () => (
  <div class="empty" role="alert">
    <p>The host did not give this screen. When it is heard again, load the page anew.</p>
    <button type="button" class="strong" onClick={() => location.reload()}>
      Load anew
    </button>
  </div>
);
