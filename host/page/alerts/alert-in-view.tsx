import { useEffect, useRef, useState } from 'preact/hooks';
import { chainTrouble } from '../frame/link-chain.js';
import { now } from '../link/stream.js';
import { readable } from '../look/readable.js';
import { AlertMark } from './alert-mark.js';
import { AlertHands } from './hands.js';
import { stateWords } from './state-words.js';

/** Once the alerts are scrolled out of view, what calls most and a broken link stand at the top edge of whatever is read. */
export const AlertInView = () => {
  const top = useRef<HTMLDivElement>(null);
  const [scrolledPast, tell] = useState(false);
  useEffect(() => {
    if (!top.current) return;
    const watch = new IntersectionObserver(([seen]) => tell(seen?.isIntersecting === false));
    watch.observe(top.current);
    return () => watch.disconnect();
  }, []);
  return (
    <>
      <div ref={top} />
      {scrolledPast && <Strip />}
    </>
  );
};

const Strip = () => {
  const { alerts = [], at = 0 } = now.value ?? {};
  const standing = alerts.filter(({ state }) => state !== 'rectified');
  const alert =
    standing.find(({ state, priority }) => state === 'unacknowledged' && priority !== 'caution') ??
    standing.find(({ priority }) => priority === 'alarm');
  const trouble = chainTrouble();
  if (!alert && !trouble) return null;
  return (
    <aside class="in-view" aria-label="In short">
      {trouble && <p>{trouble}</p>}
      {alert && (
        <div class={`alert line ${alert.priority} ${alert.state}`}>
          <AlertMark priority={alert.priority} />
          <button type="button" class="up" onClick={() => scrollTo(0, 0)}>
            <b>{alert.priority}</b> {readable(alert.message)} <span>{stateWords[alert.state]}</span>
          </button>
          <AlertHands key={`${alert.node} ${alert.id}`} alert={alert} atMs={at} />
        </div>
      )}
    </aside>
  );
};
