import { useEffect } from 'preact/hooks';
import { AlertBand, alertsInView } from '../alerts/alert-band.js';
import { AlertInView } from '../alerts/alert-in-view.js';
import { mayWatch } from '../link/session.js';
import { link, now } from '../link/stream.js';
import { Head } from './head.js';
import { route, type Screen } from './route.js';
import { ScreenOf } from './screen-of.js';
import { SignIn } from './sign-in.js';
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
      <AlertInView />
      <AlertBand />
      <main id="main" tabIndex={-1} aria-label={titles[screen]}>
        {mayWatch() ? <ScreenOf screen={screen} /> : <SignIn />}
      </main>
    </div>
  );
};
