import { useLayoutEffect, useRef } from 'preact/hooks';
import type { ReadingRow } from '../../../node/index.js';
import type { RecentLine } from '../../live/recent.js';
import type { ProbeNow } from '../../serve/now.js';
import { Key } from '../chart/key.js';
import { limitLines } from '../chart/limit-lines.js';
import { lineCode, plain } from '../chart/line-code.js';
import { type Panel as PanelOf, panels } from '../chart/panels.js';
import { TimeChart } from '../chart/time-chart.js';
import { onRows } from '../link/stream.js';
import { unit } from '../look/degrees.js';
import { palette } from '../look/palette.js';
import { readerOf } from '../look/quantity.js';
import { ChartRing } from './chart-ring.js';

/** Two nodes may have probes of one name. */
const lineName = (node: string, probe: string): string => `${node} ${probe}`;

/** The last ten minutes, live, one panel for each kind. */
export const LiveChart = ({ probes }: { readonly probes: readonly ProbeNow[] }) => (
  <section class="live-chart" aria-label="Last ten minutes">
    {panels.map((panel) => (
      <Panel key={panel.title} panel={panel} probes={probes.filter(panel.has)} />
    ))}
  </section>
);

type PanelProps = { readonly panel: PanelOf; readonly probes: readonly ProbeNow[] };

const Panel = ({ panel, probes }: PanelProps) => {
  const { title, quantity } = panel;
  const holder = useRef<HTMLDivElement>(null);
  const lines = limitLines(probes);
  const key = `${probes.map((p) => lineName(p.node, p.id)).join()} ${palette.value} ${unit.value} ${JSON.stringify(lines)}`;
  // Before the browser paints: the chart comes with the figures and not a fifth of a second after them.
  useLayoutEffect(
    () => (holder.current && probes.length ? drawLive(holder.current, panel, probes) : undefined),
    [key],
  );
  if (!probes.length) return null;
  return (
    <figure>
      <figcaption>
        <b>
          {title}, {readerOf(quantity).sign()}
        </b>{' '}
        <span class="quiet">last 10 minutes</span>
        <Key probes={probes} />
      </figcaption>
      <div
        ref={holder}
        class="plot"
        role="img"
        aria-label={`${title} of the last ten minutes; the figures above say the same`}
      />
    </figure>
  );
};

const spanS = 600;
/** An axis reaches at least so far, in the unit of its quantity. */
const usual = { temperature: 60, pressure: 60, speed: 1000 } as const;

const drawLive = (
  holder: HTMLDivElement,
  { quantity }: PanelOf,
  probes: readonly ProbeNow[],
): (() => void) => {
  const { toReader } = readerOf(quantity);
  const ring = new ChartRing(probes.map((p) => lineName(p.node, p.id)));
  const limits = limitLines(probes);
  const codes = probes.map(lineCode);
  const highestLimit = Math.max(toReader(usual[quantity]), ...limits.map(({ at }) => at));
  const zero = toReader(0);
  const chart = new TimeChart(holder);
  let asked = 0;
  const draw = () => {
    asked = 0;
    const to = ring.times.at(-1) ?? Date.now() / 1000;
    const [low, high] = ring.reach();
    chart.draw({
      from: to - spanS,
      to,
      low: Math.min(zero, low),
      high: Math.max(highestLimit, high) * 1.08,
      limits,
      lines: ring.lines.map((values, i) => ({ ...(codes[i] ?? plain), times: ring.times, values })),
    });
  };
  const soon = () => {
    asked ||= requestAnimationFrame(draw);
  };
  const clocks = new Map<string, string>();
  const stop = onRows(({ node, clock, rows }) => {
    // Another clock: the host has moved what was before, and the ring would wait until it has caught up.
    if (clocks.has(node) && clocks.get(node) !== clock) {
      ring.clear();
      void fetchRecent(ring, toReader).then(soon);
    }
    clocks.set(node, clock);
    ring.add(rows.map((row) => read(lineName(node, row.probe), row, toReader)));
    soon();
  });
  draw();
  fetchRecent(ring, toReader).then(soon);
  return () => {
    stop();
    cancelAnimationFrame(asked);
    chart.destroy();
  };
};

type Row = Pick<ReadingRow, 'at' | 'temperatureC' | 'pressureKpa' | 'speedRpm'>;
type ToReader = (value: number) => number;

/** Drawn in the unit that is read, so that the ticks are round in it. */
const read = (probe: string, { at, temperatureC, pressureKpa, speedRpm }: Row, toReader: ToReader) => {
  const value = temperatureC ?? pressureKpa ?? speedRpm;
  return { probe, at, ...(value !== undefined && { value: toReader(value) }) };
};

/** What was before this page opened; without it the chart simply starts now. */
const fetchRecent = async (ring: ChartRing, toReader: ToReader): Promise<void> => {
  try {
    const before = (await (await fetch('api/recent')).json()) as readonly RecentLine[];
    const rows = before.flatMap(({ node, probe, points }) =>
      points.map((point) => read(lineName(node, probe), point, toReader)),
    );
    ring.begin(rows.sort((a, b) => a.at - b.at));
  } catch {
    // The stream fills it.
  }
};
