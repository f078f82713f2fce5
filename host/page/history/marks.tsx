import type { ComponentChildren } from 'preact';
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
  const gaps = view.gaps.flatMap(({ fromAt, toAt, ...gap }) =>
    fromAt === undefined || toAt === undefined ? [] : [{ ...gap, fromAt, toAt }],
  );
  return (
    <section class="marks" aria-label="What happened in view">
      <Lane view={view} shown={shown} gaps={gaps} />
      <ul>
        {view.alerts.map((one) => (
          <AlertRow key={`${one.alert.id}${one.raisedAt}`} one={one} look={look} />
        ))}
        {view.service.map((entry) => (
          <Row key={entry.id} mark="post" at={entry.at} kind={isNote(entry) ? 'note' : 'work'}>
            {engineName(entry.engine)}, {entryText(entry)}
            {entry.note && !isNote(entry) && <span class="quiet"> {entry.note}</span>}
            {entry.restartsBaseline && <span class="quiet"> (new baseline from here)</span>}
          </Row>
        ))}
        {view.clockSteps.map(({ node, beforeAt, afterAt, stepMs }) => (
          <Row key={afterAt} mark="post" at={afterAt} kind="clock">
            the clock of {node} was set {stepMs > 0 ? 'forward' : 'back'} by{' '}
            {spanText(Math.abs(stepMs) / 1000)}, from {dayText(beforeAt)} {clockText(beforeAt)}
          </Row>
        ))}
        {gaps.map(({ boot, node, reason, fromAt, toAt }) => (
          <Row key={`${boot}${fromAt}`} mark="gap" at={fromAt} kind="gap">
            {spanText((toAt - fromAt) / 1000)} from {node} lost (
            {reason === 'ring-overflow'
              ? 'the host was gone for longer than the node keeps readings'
              : 'the node restarted'}
            )
          </Row>
        ))}
        {!view.alerts.length && !view.service.length && !gaps.length && !view.clockSteps.length && (
          <li class="quiet">No alerts, work or gaps in view.</li>
        )}
      </ul>
    </section>
  );
};

type RowProps = {
  readonly mark: 'post' | 'gap';
  readonly at: number;
  readonly kind: string;
  readonly children: ComponentChildren;
};

const Row = ({ mark, at, kind, children }: RowProps) => (
  <li>
    <i class={mark} aria-hidden="true" />
    <Time at={at} />
    <span>
      <b>{kind}</b>: {children}
    </span>
  </li>
);

const Time = ({ at }: { readonly at: number }) => (
  <span class="time">
    {dayText(at)} {clockText(at)}
  </span>
);

type AlertRowProps = { readonly one: HistoryView['alerts'][number]; readonly look: Props['look'] };

const AlertRow = ({ one, look }: AlertRowProps) => {
  const { alert, raisedAt } = one;
  const over = overAt(one);
  const to = Math.min(Date.now(), (over ?? raisedAt) + aroundMs);
  return (
    <li>
      <AlertMark priority={alert.priority} />
      <Time at={raisedAt} />
      <span>
        <b>{alert.priority}</b>: {readable(alert.message)}{' '}
        <span class="quiet">
          {over === undefined
            ? 'still active'
            : `lasted ${spanText((over - raisedAt) / 1000)}${alert.acknowledgedAt === undefined ? ', not acknowledged' : ''}`}
        </span>
      </span>
      <Button onClick={() => look({ from: raisedAt - aroundMs, to, follows: false })}>Show on chart</Button>
    </li>
  );
};

type Span = { readonly fromAt: number; readonly toAt: number };
type LaneProps = Omit<Props, 'look'> & { readonly gaps: readonly (Span & { readonly boot: string })[] };

const Lane = ({ view, shown: { from, to }, gaps }: LaneProps) => {
  const at = (time: number) => Math.min(100, Math.max(0, ((time - from) / (to - from)) * 100));
  const bar = (start: number, end: number) => ({
    left: `${at(start)}%`,
    width: `${Math.max(0.25, at(end) - at(start))}%`,
  });
  return (
    <div class="lane" aria-hidden="true">
      {gaps.map(({ boot, fromAt, toAt }) => (
        <i key={`${boot}${fromAt}`} class="gap" style={bar(fromAt, toAt)} />
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
  );
};

/** When the condition ended, regardless of when it was acknowledged; absent while it is active. */
export const overAt = ({
  alert,
  endedAt,
}: Pick<HistoryView['alerts'][number], 'alert' | 'endedAt'>): number | undefined =>
  alert.rectifiedAt ?? endedAt;
