import { useEffect } from 'preact/hooks';
import { AlertBand, alertsInView } from '../alerts/alert-band.js';
import { BenchScreen } from '../bench/bench-screen.js';
import { CalibrateScreen } from '../calibrate/calibrate-screen.js';
import { HealthScreen } from '../health/health-screen.js';
import { HistoryScreen } from '../history/history-screen.js';
import { mayWatch } from '../link/session.js';
import { link, now } from '../link/stream.js';
import { NowScreen } from '../now/now-screen.js';
import { SetUpScreen } from '../set-up/set-up-screen.js';
import { ComeIn } from './come-in.js';
import { Head } from './head.js';
import { route, type Screen } from './route.js';
import { Tabs } from './tabs.js';

const titles: Readonly<Record<Screen, string>> = {
  now: 'Now',
  history: 'History',
  health: 'Health',
  calibrate: 'Calibrate',
  'set-up': 'Set-up',
  bench: 'Bench',
};

/** What stands on every screen: who and whether it is live, the alerts, the way to the other screens. */
export const Frame = () => {
  const { screen } = route.value;
  const alarms = now.value?.alerts.filter((a) => a.priority === 'alarm' && a.state !== 'rectified') ?? [];
  const { whole, lines, over } = alertsInView();
  const boat = now.value?.nodes.find((n) => n.boat)?.boat;
  useEffect(() => {
    document.title = `${alarms.length ? `ALARM (${alarms.length}) ` : ''}${titles[screen]} · ${boat ?? 'Elbowroom'}`;
  });
  return (
    <div
      class={`frame link-${link.value}${whole ? ' crowded' : ''}`}
      style={{ '--lines': lines.length + (over.length ? 1 : 0) }}
    >
      <button type="button" class="skip" onClick={() => document.getElementById('main')?.focus()}>
        Skip to the figures
      </button>
      <Head />
      <Tabs />
      <AlertBand />
      <main id="main" tabIndex={-1} aria-label={titles[screen]}>
        {mayWatch() ? <ScreenOf screen={screen} /> : <ComeIn />}
      </main>
    </div>
  );
};

const ScreenOf = ({ screen }: { readonly screen: Screen }) => {
  switch (screen) {
    case 'now':
      return <NowScreen />;
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
