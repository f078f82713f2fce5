import type { Signal } from '@preact/signals';
import { useLayoutEffect, useRef } from 'preact/hooks';
import type { HistoryProbe, HistoryView } from '../../serve/history-routes.js';
import { LineSample } from '../chart/key.js';
import { type LimitLine, limitLines } from '../chart/limit-lines.js';
import { lineCode } from '../chart/line-code.js';
import type { Panel } from '../chart/panels.js';
import { type Picture, TimeChart } from '../chart/time-chart.js';
import { placed } from '../link/engines.js';
import { placeOf } from '../link/place-of.js';
import { unit } from '../look/degrees.js';
import { clockText, dayText } from '../look/moments.js';
import { palette } from '../look/palette.js';
import { readerOf, valueText } from '../look/quantity.js';
import { handle } from './hand.js';
import { entryText } from './service-form.js';
import { moved, type Shown, zoomed } from './span.js';

type Props = {
  readonly panel: Panel;
  readonly probes: readonly HistoryProbe[];
  readonly view: HistoryView;
  readonly shown: Shown;
  readonly change: (to: Shown) => void;
  /** The moment that is pointed at, in seconds, the same on every chart. */
  readonly pointed: Signal<number | undefined>;
};

/** Mean as a line within the band from minimum to maximum, so that no peak hides in a wide view. */
export const EnvelopeChart = ({ panel, probes, view, shown, change, pointed }: Props) => {
  const holder = useRef<HTMLDivElement>(null);
  const chart = useRef<TimeChart>();
  const latest = useRef({ shown, change });
  latest.current = { shown, change };
  const key = `${probes.map((p) => p.name).join()} ${palette.value} ${unit.value}`;

  useLayoutEffect(() => {
    if (!holder.current || !probes.length) return;
    const made = new TimeChart(holder.current);
    chart.current = made;
    // Several moves of a hand come before one is drawn: each continues from the one before it, and none is lost.
    const go = (to: Shown) => {
      latest.current.shown = to;
      latest.current.change(to);
    };
    const release = handle(made.canvas, {
      pan: (share) => go(moved(latest.current.shown, share, Date.now())),
      zoom: (factor, at) => go(zoomed(latest.current.shown, factor, at, Date.now())),
      point: (clientX) => {
        pointed.value = made.under(clientX).at;
      },
      share: (clientX) => made.under(clientX).share,
    });
    return () => {
      release();
      made.destroy();
      chart.current = undefined;
    };
  }, [key]);
  useLayoutEffect(() => chart.current?.draw(pictureOf(panel, probes, view, shown)), [view, shown, key]);

  if (!probes.length) return null;
  const { title, quantity } = panel;
  const at = pointed.value;
  const within = at !== undefined && at >= shown.from / 1000 && at <= shown.to / 1000;
  return (
    <section class="envelope" aria-label={`${title} over time`}>
      <h3>
        {title}, {readerOf(quantity).sign()}
      </h3>
      {/* Room for time and values is kept, or the chart would move under the finger. */}
      <p class="at quiet">{within && `at ${dayText(at * 1000)} ${clockText(at * 1000)}`}</p>
      <ul class="key values">
        {probes.map((probe) => (
          <li key={probe.name}>
            <LineSample {...probe} />
            {placed(probe.engine, placeOf(probe))}
            <b>{within && valueAt(view, probe, at)}</b>
          </li>
        ))}
      </ul>
      <div
        class="plot"
        ref={holder}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys read the chart, with Shift they move it
        tabIndex={0}
        role="application"
        aria-label={`${title}: arrow keys read values, with Shift they move in time, plus and minus zoom. The table below says the same in numbers.`}
        onKeyDown={(event) => onKey(event, { view, shown, change, pointed })}
      >
        {within && <i class="pointer" style={{ left: `${chart.current?.xOf(at) ?? 0}px` }} />}
      </div>
    </section>
  );
};

const onKey = (
  event: KeyboardEvent,
  { view, shown, change, pointed }: Pick<Props, 'view' | 'shown' | 'change' | 'pointed'>,
): void => {
  const now = Date.now();
  const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
  const everyS = (view.envelopes[0]?.everyMs ?? 1000) / 1000;
  if (way && !event.shiftKey) {
    const [from, to] = [shown.from / 1000, shown.to / 1000];
    const next = (pointed.value ?? (from + to) / 2) + way * Math.max(everyS, (to - from) / 200);
    pointed.value = Math.min(to, Math.max(from, next));
  } else if (way) change(moved(shown, 0.2 * way, now));
  else if (event.key === '+') change(zoomed(shown, 0.5, 0.5, now));
  else if (event.key === '-') change(zoomed(shown, 2, 0.5, now));
  else return;
  event.preventDefault();
};

/** Minimum, mean and maximum of the bucket that holds a moment. */
const valueAt = (view: HistoryView, { name, quantity }: HistoryProbe, atS: number): string => {
  const found = view.envelopes.find(({ probe }) => probe === name);
  const first = found?.at[0];
  if (!found || first === undefined) return 'none';
  const { min, mean, max } = found;
  const i = Math.floor((atS * 1000 - first) / found.everyMs);
  const [low, middle, high] = [min[i], mean[i], max[i]];
  if (typeof low !== 'number' || typeof middle !== 'number' || typeof high !== 'number') return 'none';
  const { toReader, digits } = readerOf(quantity);
  const text = valueText(quantity, middle);
  if (high - low < 0.1) return text;
  return `${text} (${toReader(low).toFixed(digits)} to ${toReader(high).toFixed(digits)})`;
};

/** From zero, or the lowest if lower, to a little above the highest seen and the nearest limit above it. */
const pictureOf = (
  { quantity }: Panel,
  probes: readonly HistoryProbe[],
  view: HistoryView,
  { from, to }: Shown,
): Picture => {
  const { toReader } = readerOf(quantity);
  const value = (v: number | null | undefined) => (typeof v === 'number' ? toReader(v) : null);
  const lines = probes.flatMap((of) => {
    const found = view.envelopes.find(({ probe }) => probe === of.name);
    if (!found) return [];
    const { at, everyMs, min, mean, max } = found;
    const band = { low: min.map(value), high: max.map(value), everyS: everyMs / 1000 };
    return [
      {
        ...lineCode(of),
        width: 1.5,
        times: at.map((t) => t / 1000),
        values: mean.map(value),
        band,
      },
    ];
  });
  let low = toReader(0);
  let high = toReader(quantity === 'temperature' ? 30 : 10);
  let end = to / 1000;
  for (const { band, times } of lines) {
    for (const v of band.low) if (v !== null && v < low) low = v;
    for (const v of band.high) if (v !== null && v > high) high = v;
    // The newest bucket is whole only after the present: what it holds already is shown.
    const last = (times.at(-1) ?? 0) + band.everyS;
    if (last > end && last - band.everyS < end) end = last;
  }
  const limits: readonly LimitLine[] = quantity === 'temperature' ? limitLines(probes) : [];
  const next = Math.min(...limits.map(({ at }) => at).filter((at) => at > high));
  const top = Number.isFinite(next) && next < high * 2.5 ? next : high;
  const posts = view.service.map((entry) => ({ at: entry.at / 1000, text: entryText(entry).slice(0, 28) }));
  return { from: from / 1000, to: end, low, high: low + (top - low) * 1.08, lines, limits, posts };
};
