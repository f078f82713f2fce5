import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { link } from '../link/stream.js';
import { Button } from '../look/button.js';
import { NowScreen } from '../now/now-screen.js';
import type { Screen } from './route.js';

type Others = typeof import('./other-screens.js');

const others = signal<Others | 'coming' | 'not had'>('coming');

/** Fetches the screens beside Now, once they are needed or nothing else is to do: they are then here though the host goes. */
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
  const { BenchScreen, CalibrateScreen, DiagnosticsScreen, HealthScreen, HistoryScreen, SetUpScreen } =
    others.value;
  switch (screen) {
    case 'history':
      return <HistoryScreen />;
    case 'health':
      return <HealthScreen />;
    case 'set-up':
      return <SetUpScreen />;
    case 'calibrate':
      return <CalibrateScreen />;
    case 'diagnostics':
      return <DiagnosticsScreen />;
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

/**
 * The host went before it gave them, or was renewed since. Once it answers it is asked again; some browsers keep such a
 * no, and then only reloading the whole page helps. Not before: without the host even this page would be gone.
 */
const NotHad = () => {
  const answers = link.value === 'live';
  useEffect(() => {
    if (answers) void fetchOthers();
  }, [answers]);
  return (
    <div class="empty" role="alert">
      <h2>This screen did not load</h2>
      <p>
        Contact with the host was lost before it loaded, so only Now can be seen.{' '}
        {answers ? 'The host is back: reload the page.' : 'It opens when the host is back.'}
      </p>
      <p>
        <Button class="strong" disabled={!answers} onClick={() => location.reload()}>
          Reload
        </Button>
      </p>
    </div>
  );
};
