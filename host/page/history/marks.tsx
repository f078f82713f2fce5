import type { HistoryView } from '../../serve/history-routes.js';
import { AlertMark } from '../alerts/alert-mark.js';
import { engineName } from '../link/engines.js';
import { Button } from '../look/button.js';
import { clockText, dayText, spanText } from '../look/moments.js';
import { readable } from '../look/readable.js';
import { entryText, isNote } from './service-form.js';
import type { Shown } from './span.js';

type Props = { readonly view: HistoryView; readonly shown: Shown; readonly look: (to: Shown) => void };

const aroundMs = 5 * 60_000;

/** Events in view: alerts as bars on the time line, work as posts, gaps as hatching; the same as a list. */
export const Marks = ({ view, shown, look }: Props) => {
  const { from, to } = shown;
  const at = (time: number) => Math.min(100, Math.max(0, ((time - from) / (to - from)) * 100));
  const bar = (start: number, end: number) => ({
    left: `${at(start)}%`,
    width: `${Math.max(0.25, at(end) - at(start))}%`,
  });
  const gaps = view.gaps.filter((gap) => gap.fromAt !== undefined && gap.toAt !== undefined);
  return (
    <section class="marks" aria-label="What happened in view">
      <div class="lane" aria-hidden="true">
        {gaps.map((gap) => (
          <i key={`${gap.boot}${gap.fromAt}`} class="gap" style={bar(gap.fromAt ?? 0, gap.toAt ?? 0)} />
        ))}
        {view.alerts
          .filter((one) => one.raisedAt < to && (overAt(one) ?? to) > from)
          .map((one) => (
            <i
              key={`${one.alert.id}${one.raisedAt}`}
              class={`spell ${one.alert.priority}`}
              style={bar(one.raisedAt, overAt(one) ?? to)}
            />
          ))}
        {view.service
          .filter((entry) => entry.at > from && entry.at < to)
          .map((entry) => (
            <i key={entry.id} class="post" style={{ left: `${at(entry.at)}%` }} />
          ))}
        {view.clockSteps.map(({ afterAt }) => (
          <i key={afterAt} class="post" style={{ left: `${at(afterAt)}%` }} />
        ))}
      </div>
      <ul>
        {view.alerts.map((one) => {
          const { alert, raisedAt } = one;
          const over = overAt(one);
          return (
            <li key={`${alert.id}${raisedAt}`}>
              <AlertMark priority={alert.priority} />
              <span class="time">
                {dayText(raisedAt)} {clockText(raisedAt)}
              </span>
              <span>
                <b>{alert.priority}</b>: {readable(alert.message)}{' '}
                <span class="quiet">
                  {over === undefined
                    ? 'still active'
                    : `lasted ${spanText((over - raisedAt) / 1000)}${alert.acknowledgedAt === undefined ? ', not acknowledged' : ''}`}
                </span>
              </span>
              <Button
                onClick={() =>
                  look({
                    from: raisedAt - aroundMs,
                    to: Math.min(Date.now(), (over ?? raisedAt) + aroundMs),
                    follows: false,
                  })
                }
              >
                Show on chart
              </Button>
            </li>
          );
        })}
        {view.service.map((entry) => (
          <li key={entry.id}>
            <i class="post" aria-hidden="true" />
            <span class="time">
              {dayText(entry.at)} {clockText(entry.at)}
            </span>
            <span>
              <b>{isNote(entry) ? 'note' : 'work'}</b>: {engineName(entry.engine)}, {entryText(entry)}
              {entry.note && !isNote(entry) && <span class="quiet"> {entry.note}</span>}
              {entry.restartsBaseline && <span class="quiet"> (new baseline from here)</span>}
            </span>
          </li>
        ))}
        {view.clockSteps.map(({ node, beforeAt, afterAt, stepMs }) => (
          <li key={afterAt}>
            <i class="post" aria-hidden="true" />
            <span class="time">
              {dayText(afterAt)} {clockText(afterAt)}
            </span>
            <span>
              <b>clock</b>: the clock of {node} was set {stepMs > 0 ? 'forward' : 'back'} by{' '}
              {spanText(Math.abs(stepMs) / 1000)}, from {dayText(beforeAt)} {clockText(beforeAt)}
            </span>
          </li>
        ))}
        {gaps.map((gap) => (
          <li key={`${gap.boot}${gap.fromAt}`}>
            <i class="gap" aria-hidden="true" />
            <span class="time">
              {dayText(gap.fromAt ?? 0)} {clockText(gap.fromAt ?? 0)}
            </span>
            <span>
              <b>gap</b>: {spanText(((gap.toAt ?? 0) - (gap.fromAt ?? 0)) / 1000)} from {gap.node} lost (
              {gap.reason === 'ring-overflow'
                ? 'the host was away longer than the node can remember'
                : 'the node restarted'}
              )
            </span>
          </li>
        ))}
        {!view.alerts.length && !view.service.length && !gaps.length && !view.clockSteps.length && (
          <li class="quiet">No alerts, work or gaps in view.</li>
        )}
      </ul>
    </section>
  );
};

/** When the condition ended, regardless of when it was acknowledged; absent while it is active. */
export const overAt = ({
  alert,
  endedAt,
}: Pick<HistoryView['alerts'][number], 'alert' | 'endedAt'>): number | undefined =>
  alert.rectifiedAt ?? endedAt;
