import { NoAlerts } from '../alerts/alerts.js';
import { mayWatch } from '../link/session.js';
import { now } from '../link/stream.js';
import { contactLost } from './contact.js';

const chain = ['board', 'node', 'host', 'page'] as const;

/** The way a reading travels to this page: one word while it is whole, a drawing of the break when it is not. */
export const LinkChain = () => {
  const lost = contactLost();
  const waiting = !now.value?.nodes.some(({ node }) => node !== 'host');
  const brokenAt = lost ? chain.indexOf(lost.at) : -1;
  return (
    <p class="chain" role="status" aria-live="polite">
      {lost ? (
        <span class="joints" role="img" aria-label={lost.words}>
          {chain.map((joint, index) => (
            <i key={joint} class={index <= brokenAt ? 'gone' : ''}>
              {joint}
            </i>
          ))}
        </span>
      ) : !mayWatch() ? (
        'Signed out'
      ) : waiting ? (
        'Waiting for data'
      ) : (
        <>
          <span class="live">Live</span> <NoAlerts />
        </>
      )}
    </p>
  );
};
