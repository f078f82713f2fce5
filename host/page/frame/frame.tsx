import { useEffect } from 'preact/hooks';
import { AlarmStrip } from '../alerts/alarm-strip.js';
import { AlertCards, AlertLines, wholeAlerts } from '../alerts/alerts.js';
import { activeAlerts } from '../alerts/in-words.js';
import { NoData } from '../alerts/no-data.js';
import { mayWatch } from '../link/session.js';
import { link, now } from '../link/stream.js';
import { Button } from '../look/button.js';
import { contactLost } from './contact.js';
import { Head } from './head.js';
import { route, titles } from './route.js';
import { ScreenOf } from './screen-of.js';
import { SignIn } from './sign-in.js';

/** What is on every screen: lost contact, every active alarm, the head with the other screens, the other alerts. */
export const Frame = () => {
  const { screen } = route.value;
  const alarms = activeAlerts().filter(({ priority }) => priority === 'alarm').length;
  const boat = now.value?.nodes.find((node) => node.boat)?.boat;
  const lost = contactLost() ? 'NO DATA ' : '';
  useEffect(() => {
    document.title = `${lost}${alarms ? `ALARM (${alarms}) ` : ''}${titles[screen]} · ${boat ?? 'Elbowroom'}`;
  });
  return (
    <div class={`frame link-${link.value}${wholeAlerts().length ? ' acting' : ''}`}>
      <Button class="skip" onClick={() => document.getElementById('main')?.focus()}>
        Skip to the figures
      </Button>
      <div class="edge">
        <NoData />
        <AlarmStrip />
      </div>
      <AlertCards />
      <Head />
      <AlertLines />
      <main id="main" tabIndex={-1} aria-label={titles[screen]}>
        {mayWatch() ? <ScreenOf screen={screen} /> : <SignIn />}
      </main>
    </div>
  );
};
