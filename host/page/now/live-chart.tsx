import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { RecentLine } from '../../live/recent.js';
import type { ProbeNow } from '../../serve/now.js';
import { Key } from '../chart/key.js';
import { drawLimits, limitLines } from '../chart/limit-lines.js';
import { dashOf, tokenOf } from '../chart/line-code.js';
import { panels } from '../chart/panels.js';
import { onRows } from '../link/stream.js';
import { chartFont } from '../look/chart-font.js';
import { toReader, unit, unitSign } from '../look/degrees.js';
import { engineIndex } from '../look/engines.js';
import { ink, palette } from '../look/palette.js';
import { ChartRing } from './chart-ring.js';

/** Two nodes may have probes of one name. */
const lineName = (node: string, probe: string): string => `${node} ${probe}`;

/** The last ten minutes, live, one panel for each kind. */
export const LiveChart = ({ probes }: { readonly probes: readonly ProbeNow[] }) => (
  <section class="live-chart" aria-label="Last ten minutes">
    {panels.map(({ id, title, has }) => (
      <Panel key={id} title={title} probes={probes.filter(({ place }) => has(place))} />
    ))}
  </section>
);

type PanelProps = { readonly title: string; readonly probes: readonly ProbeNow[] };

const Panel = ({ title, probes }: PanelProps) => {
  const holder = useRef<HTMLDivElement>(null);
  const lines = limitLines(probes);
  const key = `${probes.map((p) => lineName(p.node, p.id)).join()} ${palette.value} ${unit.value} ${JSON.stringify(lines)}`;
  // Before the browser paints: the chart comes with the figures and not a fifth of a second after them.
  useLayoutEffect(
    () => (holder.current && probes.length ? drawLive(holder.current, probes) : undefined),
    [key],
  );
  if (!probes.length) return null;
  return (
    <figure>
      <figcaption>
        <b>
          {title}, {unitSign()}
        </b>{' '}
        <span class="quiet">last 10 minutes</span>
        <Key probes={probes} />
      </figcaption>
      <div
        ref={holder}
        class="plot"
        role="img"
        aria-label={`${title}, temperatures of the last ten minutes; the figures above say the same`}
      />
    </figure>
  );
};

const drawLive = (holder: HTMLDivElement, probes: readonly ProbeNow[]): (() => void) => {
  const ring = new ChartRing(probes.map((p) => lineName(p.node, p.id)));
  const lines = limitLines(probes);
  const axis = {
    stroke: ink('--quiet'),
    grid: { stroke: ink('--hair'), width: 1 },
    ticks: { show: false },
    font: chartFont,
  };
  const highestLimit = Math.max(toReader(60), ...lines.map(({ at }) => at));
  const zero = toReader(0);
  const chart = new uPlot(
    {
      width: holder.clientWidth,
      height: holder.clientHeight,
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: { time: true, range: (_u, _min, max) => [max - 600, max] },
        y: {
          range: (_u, min, max) => [Math.min(zero, min ?? zero), Math.max(highestLimit, max ?? 0) * 1.08],
        },
      },
      axes: [
        { ...axis, size: 28, incrs: [60, 120, 300], values: '{HH}:{mm}' },
        { ...axis, scale: 'y', size: 48 },
      ],
      series: [
        {},
        ...probes.map((probe) => {
          const index = engineIndex(probe.engine);
          return {
            scale: 'y',
            stroke: ink(tokenOf(index, probe.place)),
            dash: dashOf(index),
            width: index < 0 ? 1.5 : 2.5,
            points: { show: false },
            label: probe.name,
          };
        }),
      ],
      hooks: { drawAxes: [(drawn) => drawLimits(drawn, lines)] },
    },
    [ring.times, ...ring.lines] as uPlot.AlignedData,
    holder,
  );
  let asked = 0;
  const draw = () => {
    asked = 0;
    chart.setData([ring.times, ...ring.lines] as uPlot.AlignedData);
  };
  const soon = () => {
    asked ||= requestAnimationFrame(draw);
  };
  const clocks = new Map<string, string>();
  const stop = onRows(({ node, clock, rows }) => {
    // Another clock: the host has moved what was before, and the ring would wait until it has caught up.
    if (clocks.has(node) && clocks.get(node) !== clock) {
      ring.clear();
      void fetchRecent(ring).then(soon);
    }
    clocks.set(node, clock);
    ring.add(rows.map((row) => read(lineName(node, row.probe), row)));
    soon();
  });
  const resized = new ResizeObserver(() =>
    chart.setSize({ width: holder.clientWidth, height: holder.clientHeight }),
  );
  resized.observe(holder);
  fetchRecent(ring).then(soon);
  return () => {
    stop();
    resized.disconnect();
    cancelAnimationFrame(asked);
    chart.destroy();
  };
};

/** Drawn in the unit that is read, so that the ticks are round in it. */
const read = (probe: string, { at, temperatureC }: { at: number; temperatureC?: number }) => ({
  probe,
  at,
  ...(temperatureC !== undefined && { temperature: toReader(temperatureC) }),
});

/** What was before this page opened; without it the chart simply starts now. */
const fetchRecent = async (ring: ChartRing): Promise<void> => {
  try {
    const before = (await (await fetch('api/recent')).json()) as readonly RecentLine[];
    const rows = before.flatMap(({ node, probe, points }) =>
      points.map((point) => read(lineName(node, probe), point)),
    );
    ring.begin(rows.sort((a, b) => a.at - b.at));
  } catch {
    // The stream fills it.
  }
};
