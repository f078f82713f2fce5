import type { HistoryContents } from '../../serve/history-routes.js';
import { Button } from '../look/button.js';
import { clockText, dayText, zoneText } from '../look/moments.js';
import { endingNow, moved, type Shown, spans, zoomed } from './span.js';

type Props = {
  readonly shown: Shown;
  readonly contents: HistoryContents | undefined;
  readonly change: (to: Shown) => void;
};

/** How much time, and which way. */
export const SpanBar = ({ shown, contents, change }: Props) => {
  const { from, to, follows } = shown;
  const now = () => Date.now();
  return (
    <div class="span-bar">
      <p class="when">
        <b>
          {dayText(from)} {clockText(from)}
        </b>{' '}
        to{' '}
        <b>
          {dayText(to)} {clockText(to)}
        </b>{' '}
        {zoneText(to)}
        {follows && <span class="quiet"> (live)</span>}
      </p>
      <div class="lengths">
        {spans.map(({ name, ms }) => (
          <Button
            key={name}
            aria-pressed={Math.abs(to - from - ms) < ms * 0.01}
            onClick={() =>
              change(follows ? endingNow(ms, now()) : zoomed(shown, ms / (to - from), 0.5, now()))
            }
          >
            {name}
          </Button>
        ))}
        {contents?.oldestAt !== undefined && contents.newestAt !== undefined && (
          <Button
            onClick={() =>
              change({ from: contents.oldestAt ?? from, to: contents.newestAt ?? to, follows: false })
            }
          >
            All
          </Button>
        )}
      </div>
      <div class="moves">
        <Button onClick={() => change(moved(shown, -0.5, now()))}>Back</Button>
        <Button onClick={() => change(moved(shown, 0.5, now()))} disabled={follows}>
          Forward
        </Button>
        <Button onClick={() => change(zoomed(shown, 0.5, 0.5, now()))}>Zoom in</Button>
        <Button onClick={() => change(zoomed(shown, 2, 0.5, now()))}>Zoom out</Button>
        <Button onClick={() => change(endingNow(to - from, now()))} disabled={follows}>
          Now
        </Button>
      </div>
    </div>
  );
};
