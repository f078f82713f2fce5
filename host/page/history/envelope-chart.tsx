import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { HistoryProbe, HistoryView } from '../../serve/history-routes.js';
import { chartFont } from '../look/chart-font.js';
import { unit } from '../look/degrees.js';
import { engineIndex, engines, inkOf } from '../look/engines.js';
import { shortClock, shortDay } from '../look/moments.js';
import { ink, palette } from '../look/palette.js';
import { readerOf } from '../look/quantity.js';
import { handle } from './hand.js';
import { moved, type Shown, zoomed } from './span.js';

type Props = {
  readonly title: string;
  readonly probes: readonly HistoryProbe[];
  readonly view: HistoryView;
  readonly shown: Shown;
  readonly change: (to: Shown) => void;
};

/** All probes of one chart are of one quantity. */
const quantityOf = (probes: readonly HistoryProbe[]) => probes[0]?.quantity ?? 'temperature';

/** Mean as a line within the band from least to greatest, so that no peak hides in a wide view. Drag, pinch, wheel or keys. */
export const EnvelopeChart = ({ title, probes, view, shown, change }: Props) => {
  const holder = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot>();
  const latest = useRef({ shown, change, view });
  latest.current = { shown, change, view };
  const key = `${probes.map((p) => p.name).join()} ${palette.value} ${unit.value}`;

  useLayoutEffect(() => {
    if (!holder.current || !probes.length) return;
    const made = makeChart(holder.current, probes, () => latest.current.view);
    chart.current = made;
    made.setData(dataOf(probes, view));
    // Several moves of a hand come before one is drawn: each goes on from the one before it, and none is lost.
    const go = (to: Shown) => {
      latest.current.shown = to;
      latest.current.change(to);
    };
    const release = handle(made.over, {
      pan: (share) => go(moved(latest.current.shown, share, Date.now())),
      zoom: (factor, at) => go(zoomed(latest.current.shown, factor, at, Date.now())),
    });
    const resized = new ResizeObserver(() => {
      if (holder.current)
        made.setSize({ width: holder.current.clientWidth, height: holder.current.clientHeight });
    });
    resized.observe(holder.current);
    return () => {
      release();
      resized.disconnect();
      made.destroy();
      chart.current = undefined;
    };
  }, [key]);
  useLayoutEffect(() => chart.current?.setData(dataOf(probes, view), false), [view]);
  useLayoutEffect(
    () => chart.current?.setScale('x', { min: shown.from / 1000, max: shown.to / 1000 }),
    [shown, view, key],
  );

  const quantity = quantityOf(probes);
  if (!probes.length) return null;
  return (
    <section class="envelope" aria-label={`${title} over time`}>
      <h3>
        {title} <small>{readerOf(quantity).sign()}</small>
      </h3>
      <div
        class="plot"
        ref={holder}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys move and zoom the chart, as the buttons above do
        tabIndex={0}
        role="application"
        aria-label={`${title}: arrow keys move in time, plus and minus zoom. The table below says the same in numbers.`}
        onKeyDown={(event) => {
          const now = Date.now();
          const to =
            event.key === 'ArrowLeft'
              ? moved(shown, -0.2, now)
              : event.key === 'ArrowRight'
                ? moved(shown, 0.2, now)
                : event.key === '+'
                  ? zoomed(shown, 0.5, 0.5, now)
                  : event.key === '-'
                    ? zoomed(shown, 2, 0.5, now)
                    : undefined;
          if (!to) return;
          event.preventDefault();
          change(to);
        }}
      />
    </section>
  );
};

/** One x for all: buckets are whole and aligned, so equal spans have equal buckets. Empty buckets break the line. */
const dataOf = (probes: readonly HistoryProbe[], view: HistoryView): uPlot.AlignedData => {
  const of = (name: string) => view.envelopes.find((envelope) => envelope.probe === name);
  const first = view.envelopes[0];
  const middle = (first?.everyMs ?? 0) > 1000 ? (first?.everyMs ?? 0) / 2 : 0;
  const times = (first?.at ?? []).map((at) => (at + middle) / 1000);
  const line = (values: readonly (number | null | undefined)[] | undefined) =>
    values ? values.map((v) => v ?? null) : times.map(() => null);
  return [times, ...probes.map(({ name }) => line(of(name)?.mean))] as uPlot.AlignedData;
};

const makeChart = (
  holder: HTMLDivElement,
  probes: readonly HistoryProbe[],
  seen: () => HistoryView,
): uPlot => {
  const quantity = quantityOf(probes);
  const axis = {
    stroke: ink('--quiet'),
    grid: { stroke: ink('--hair'), width: 1 },
    ticks: { show: false },
    font: chartFont,
  };
  return new uPlot(
    {
      width: holder.clientWidth,
      height: holder.clientHeight,
      legend: { show: false },
      cursor: { drag: { x: false, y: false, setScale: false }, points: { show: false }, y: false },
      padding: [8, 16, 0, 0],
      scales: {
        x: { time: true, auto: false },
        y: { range: () => reach(probes, seen()) },
      },
      axes: [
        { ...axis, size: 30, space: 90, values: (chart, ticks) => timeTicks(chart, ticks) },
        {
          ...axis,
          size: 52,
          values: (_, ticks) => ticks.map((v) => `${Math.round(readerOf(quantity).toReader(v))}`),
        },
      ],
      series: [
        {},
        ...probes.map((probe) => ({
          stroke: ink(inkOf(probe)),
          width: 1.5,
          points: { show: false },
          ...dashOf(probe),
        })),
      ],
      hooks: { drawAxes: [(chart) => drawBars(chart, probes, seen())] },
    },
    [[]],
    holder,
  );
};

const dashes = [undefined, [7, 3], [12, 3, 2, 3], [3, 3]] as const;
const dashOf = ({ engine }: HistoryProbe): Pick<uPlot.Series, 'dash'> => {
  const dash = dashes[engineIndex(engine)];
  return dash ? { dash: [...dash] } : {};
};

/** In the order of the engines, 4 px from one to the next, about the middle. */
const asideOf = ({ engine }: HistoryProbe): number => {
  const index = engineIndex(engine);
  return index < 0 ? 0 : 4 * (index - (engines().length - 1) / 2);
};

/** From zero, or the least if less, to a little above the greatest seen. */
const reach = (probes: readonly HistoryProbe[], view: HistoryView): [number, number] => {
  const shown = view.envelopes.filter(({ probe }) => probes.some(({ name }) => name === probe));
  let least = 0;
  let greatest = 30;
  for (const { min, max } of shown) {
    for (const c of min) if (typeof c === 'number' && c < least) least = c;
    for (const c of max) if (typeof c === 'number' && c > greatest) greatest = c;
  }
  return [least, greatest * 1.06];
};

const fewestPx = 3;
/** Buckets of this length and more seldom have neighbours: a trip is a bar, and the twins' bars would cover each other. */
const lonelyMs = 600_000;

/** Each bucket as a bar from its least to its greatest; a lone bucket in a wide view is still seen. The engines stand side by side. */
const drawBars = (chart: uPlot, probes: readonly HistoryProbe[], view: HistoryView): void => {
  const { ctx } = chart;
  ctx.save();
  ctx.beginPath();
  ctx.rect(chart.bbox.left, chart.bbox.top, chart.bbox.width, chart.bbox.height);
  ctx.clip();
  for (const probe of probes) {
    const envelope = view.envelopes.find((found) => found.probe === probe.name);
    if (!envelope) continue;
    const { at, everyMs, min, max, mean: means } = envelope;
    const x = (time: number) => chart.valToPos(time / 1000, 'x', true);
    const y = (c: number) => chart.valToPos(c, 'y', true);
    const width = Math.max(fewestPx, x(everyMs) - x(0));
    // Buckets of the view before, seen from close by, until the new ones come: a wall of grey would say nothing.
    if (width > chart.bbox.width / 8) continue;
    const twinsApart = width <= fewestPx && everyMs >= lonelyMs;
    const aside = twinsApart ? asideOf(probe) : 0;
    const left = (time: number) => x(time + (everyMs > 1000 ? everyMs / 2 : 0)) - width / 2 + aside;
    ctx.fillStyle = ink(inkOf(probe));
    at.forEach((time, i) => {
      const least = min[i];
      const greatest = max[i];
      const mean = means[i];
      if (typeof least !== 'number' || typeof greatest !== 'number' || typeof mean !== 'number') return;
      ctx.globalAlpha = 0.28;
      ctx.fillRect(left(time), y(greatest), width, Math.max(1, y(least) - y(greatest)));
      ctx.globalAlpha = 1;
      // Where no line passes, because both neighbours are empty, the mean has a mark of its own.
      if (typeof means[i - 1] === 'number' || typeof means[i + 1] === 'number') return;
      ctx.fillRect(left(time), y(mean) - 1, width, 2.5);
    });
  }
  ctx.restore();
};

const timeTicks = (chart: uPlot, ticks: readonly number[]): string[] => {
  const spanS = (chart.scales.x?.max ?? 0) - (chart.scales.x?.min ?? 0);
  return ticks.map((s) => (spanS > 3 * 86_400 ? shortDay(s * 1000) : shortClock(s * 1000, spanS < 600)));
};
