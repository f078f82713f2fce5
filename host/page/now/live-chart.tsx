import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { RecentLine } from '../../live/recent.js';
import type { ProbeNow } from '../../serve/now.js';
import { onRows } from '../link/stream.js';
import { chartFont } from '../look/chart-font.js';
import { toReader, unit } from '../look/degrees.js';
import { engineClass, inkOf, isShared, placed } from '../look/engines.js';
import { ink, palette } from '../look/palette.js';
import { placeName } from '../look/words.js';
import { ChartRing } from './chart-ring.js';

const lineOf = (probe: ProbeNow): Pick<uPlot.Series, 'dash' | 'width'> & { readonly token: string } => ({
  token: inkOf(probe),
  // Gas is dotted and water solid, so that the four lines differ without colour.
  ...(probe.place === 'dry-exhaust' || probe.place === 'before-turbo' ? { dash: [2, 4] } : {}),
  width: isShared(probe.engine) ? 1.5 : 2.5,
});

/** Two nodes may have probes of one name. */
const lineName = (node: string, probe: string): string => `${node} ${probe}`;

const isGas = (probe: ProbeNow) => probe.place === 'dry-exhaust' || probe.place === 'before-turbo';

/** The last ten minutes, live: water side on the left scale, gas on the right. */
export const LiveChart = ({ probes }: { readonly probes: readonly ProbeNow[] }) => {
  const holder = useRef<HTMLDivElement>(null);
  const key = `${probes.map((p) => lineName(p.node, p.id)).join()} ${palette.value} ${unit.value}`;
  // Before the browser paints: the chart comes with the figures and not a fifth of a second after them.
  useLayoutEffect(() => (holder.current ? drawLive(holder.current, probes) : undefined), [key]);
  return (
    <figure class="live-chart">
      <figcaption>
        Last ten minutes
        <ul>
          {probes.map((probe) => (
            <li
              key={probe.id}
              class={`${engineClass(probe.engine)} ${probe.place} ${isGas(probe) ? 'gas' : 'wet'}`}
            >
              {placed(probe.engine, placeName(probe.place))}
            </li>
          ))}
        </ul>
      </figcaption>
      <div
        ref={holder}
        class="plot"
        role="img"
        aria-label="Temperatures of the last ten minutes; the figures above say the same"
      />
    </figure>
  );
};

const drawLive = (holder: HTMLDivElement, probes: readonly ProbeNow[]): (() => void) => {
  const ring = new ChartRing(probes.map((p) => lineName(p.node, p.id)));
  const axis = {
    stroke: ink('--quiet'),
    grid: { stroke: ink('--hair'), width: 1 },
    ticks: { show: false },
    font: chartFont,
  };
  const values = (_: uPlot, ticks: number[]) => ticks.map((c) => `${Math.round(toReader(c))}`);
  const chart = new uPlot(
    {
      width: holder.clientWidth,
      height: holder.clientHeight,
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: { time: true, range: (_u, _min, max) => [max - 600, max] },
        wet: { range: (_u, min, max) => [Math.min(0, min ?? 0), Math.max(60, (max ?? 0) + 5)] },
        gas: { range: (_u, min, max) => [Math.min(0, min ?? 0), Math.max(200, (max ?? 0) * 1.1)] },
      },
      axes: [
        { ...axis, size: 28, incrs: [60, 120, 300], values: '{HH}:{mm}' },
        { ...axis, scale: 'wet', size: 44, values },
        ...(probes.some(isGas)
          ? [{ ...axis, scale: 'gas', side: 1 as const, size: 48, values, grid: { show: false } }]
          : []),
      ],
      series: [
        {},
        ...probes.map((probe) => {
          const { token, ...line } = lineOf(probe);
          return {
            scale: isGas(probe) ? 'gas' : 'wet',
            stroke: ink(token),
            points: { show: false },
            label: probe.name,
            ...line,
          };
        }),
      ],
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
    ring.add(rows.map((row) => ({ ...row, probe: lineName(node, row.probe) })));
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

/** What was before this page opened; without it the chart simply starts now. */
const fetchRecent = async (ring: ChartRing): Promise<void> => {
  try {
    const before = (await (await fetch('api/recent')).json()) as readonly RecentLine[];
    const rows = before.flatMap(({ node, probe, points }) =>
      points.map((point) => ({ probe: lineName(node, probe), ...point })),
    );
    ring.begin(rows.sort((a, b) => a.at - b.at));
  } catch {
    // The stream fills it.
  }
};
