import { mayAct } from '../link/session.js';
import { now } from '../link/stream.js';
import { actOn, sounds, waitsForSomebody } from './hands.js';
import { outOfReach } from './in-words.js';

/** F8 acknowledges, F2 silences, the worst that waits for it. Function keys, so that nothing typed can do it. */
export const startKeys = (): void => {
  addEventListener('keydown', ({ key, repeat }) => {
    if (repeat || (key !== 'F8' && key !== 'F2') || !mayAct()) return;
    const doing = key === 'F8' ? 'acknowledge' : 'silence';
    const alert = keyed(doing);
    if (alert && !outOfReach(alert)) void actOn(alert, doing);
  });
};

/** The alert that a key would act on at this moment, so that its card can show the key. */
export const keyed = (doing: 'acknowledge' | 'silence') => {
  const { alerts = [], at = 0 } = now.value ?? {};
  return doing === 'acknowledge'
    ? alerts.find((alert) => alert.state !== 'rectified' && waitsForSomebody(alert))
    : alerts.find((alert) => sounds(alert) && !((alert.silencedUntil ?? 0) > at));
};
