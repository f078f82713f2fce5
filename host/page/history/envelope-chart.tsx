import { useEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { HistoryProbe, HistoryView } from '../../serve/history-routes.js';
import { toReader, unit, unitSign } from '../look/degrees.js';
import { ink, palette } from '../look/palette.js';
import { handle } from './hand.js';
import { moved, type Shown, zoomed } from './span.js';

type Props = {
  readonly title: string;
  readonly probes: readonly HistoryProbe[];
  readonly view: HistoryView;
  readonly shown: Shown;
  readonly change: (to: Shown) => void;
};

const token = ({ engine, place }: HistoryProbe) =>
  engine === 'port'
    ? '--port'
    : engine === 'starboard'
      ? '--starboard'
      : place === 'sea-water'
        ? '--water'
        : '--metal';

/** Mean as a line within the band from least to greatest, so that no peak hides in a wide view. Drag, pinch, wheel or keys. */
export const EnvelopeChart = ({ title, probes, view, shown, change }: Props) => {
  const holder = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot>();
  const latest = useRef({ shown, change });
  latest.current = { shown, change };
  const key = `${probes.map((p) => p.name).join()} ${palette.value} ${unit.value}`;

  // biome-ignore lint/correctness/useExhaustiveDependencies: the key says when another chart is needed
  useEffect(() => {
    if (!holder.current || !probes.length) return;
    const made = makeChart(holder.current, probes);
    chart.current = made;
    made.setData(dataOf(probes, view));
    const release = handle(made.over, {
      pan: (share) => latest.current.change(moved(latest.current.shown, share, Date.now())),
      zoom: (factor, at) => latest.current.change(zoomed(latest.current.shown, factor, at, Date.now())),
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
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new view is new data for the same chart
  useEffect(() => chart.current?.setData(dataOf(probes, view), false), [view]);
  useEffect(
    () => chart.current?.setScale('x', { min: shown.from / 1000, max: shown.to / 1000 }),
    [shown, view, key],
  );

  if (!probes.length) return null;
  return (
    <section class="envelope" aria-label={`${title} over time`}>
      <h3>
        {title} <small>{unitSign()}</small>
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
  return [
    times,
    ...probes.flatMap(({ name }) => {
      const found = of(name);
      return [line(found?.maxC), line(found?.minC), line(found?.meanC)];
    }),
  ] as uPlot.AlignedData;
};

const makeChart = (holder: HTMLDivElement, probes: readonly HistoryProbe[]): uPlot => {
  const axis = {
    stroke: ink('--quiet'),
    grid: { stroke: ink('--hair'), width: 1 },
    ticks: { show: false },
    font: '13px system-ui, sans-serif',
  };
  const hidden = { stroke: 'transparent', points: { show: false } };
  return new uPlot(
    {
      width: holder.clientWidth,
      height: holder.clientHeight,
      legend: { show: false },
      cursor: { drag: { x: false, y: false, setScale: false }, points: { show: false }, y: false },
      padding: [8, 16, 0, 0],
      scales: {
        x: { time: true, auto: false },
        y: { range: (_u, min, max) => [Math.min(0, min ?? 0), (max ?? 50) * 1.08 + 2] },
      },
      axes: [
        { ...axis, size: 44 },
        { ...axis, size: 52, values: (_, ticks) => ticks.map((c) => `${Math.round(toReader(c))}`) },
      ],
      series: [
        {},
        ...probes.flatMap((probe) => [
          { ...hidden },
          { ...hidden },
          {
            stroke: ink(token(probe)),
            width: 1.5,
            points: { show: false },
            ...(probe.engine === 'starboard' && { dash: [7, 3] }),
          },
        ]),
      ],
      bands: probes.map((probe, index) => ({
        series: [index * 3 + 1, index * 3 + 2] as [number, number],
        fill: `${ink(token(probe))}40`,
      })),
    },
    [[]],
    holder,
  );
};
