import type { Span, Store } from '../store/index.js';
import { csvCell } from './csv.js';
import { rfc3339 } from './exchange-row.js';

/** What the store remembers beside readings. */
export const eventKinds = ['alerts', 'gaps', 'service', 'clock-steps'] as const;
export type EventKind = (typeof eventKinds)[number];

type Cell = string | number | boolean | undefined;
/** One event with the names of the columns; what is not known is absent. */
type Event = Readonly<Record<string, Cell>>;

/** The columns of each kind, in order: times first, RFC 3339 in UTC. */
const columns: Readonly<Record<EventKind, readonly string[]>> = {
  alerts: [
    'raisedAt',
    'endedAt',
    'acknowledgedAt',
    'node',
    'priority',
    'rule',
    'engine',
    'probe',
    'message',
    'evidence',
  ],
  gaps: ['fromAt', 'toAt', 'node', 'reason', 'frames', 'fromSeq', 'toSeq', 'boot'],
  service: ['at', 'engine', 'work', 'note', 'restartsBaseline'],
  'clock-steps': ['beforeAt', 'afterAt', 'stepMs', 'node', 'boot'],
};

const time = (at: number | undefined): string | undefined => (at === undefined ? undefined : rfc3339(at));

const eventsOf = (store: Store, kind: EventKind, span: Span): readonly Event[] => {
  switch (kind) {
    case 'alerts':
      return store
        .alerts(span)
        .toReversed()
        .map(({ node, alert, raisedAt, endedAt, history }) => ({
          raisedAt: time(raisedAt),
          endedAt: time(endedAt),
          acknowledgedAt: time(history.find((h) => h.alert.acknowledgedAt)?.alert.acknowledgedAt),
          node,
          priority: alert.priority,
          rule: alert.rule,
          engine: alert.engine,
          probe: alert.probe,
          message: alert.message,
          evidence: JSON.stringify(alert.evidence),
        }));
    case 'gaps':
      return store.gaps(span).map((gap) => ({ ...gap, fromAt: time(gap.fromAt), toAt: time(gap.toAt) }));
    case 'service':
      return store.service.entries(span).map(({ id: _, ...entry }) => ({ ...entry, at: time(entry.at) }));
    case 'clock-steps':
      return store
        .clockSteps(span)
        .map((step) => ({ ...step, beforeAt: time(step.beforeAt), afterAt: time(step.afterAt) }));
  }
};

/** The events of a span, oldest first, as CSV with a header (RFC 4180) or one JSON object a line. */
export const exportEvents = (
  store: Store,
  kind: EventKind,
  span: Span,
  form: 'csv' | 'jsonl',
): { readonly lines: readonly string[]; readonly count: number } => {
  const names = columns[kind];
  const events = eventsOf(store, kind, span);
  const lines =
    form === 'csv'
      ? [names.join(','), ...events.map((event) => names.map((name) => csvCell(event[name])).join(','))]
      : events.map((event) => JSON.stringify(Object.fromEntries(names.map((name) => [name, event[name]]))));
  return { lines, count: events.length };
};
