import { type Signal, useSignal } from '@preact/signals';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { type LineCode, plain } from '../../drawing/line-code.js';
import type { HistoryProbe, HistoryView } from '../../serve/history-routes.js';
import type { Trip } from '../../serve/trips.js';
import { CodeSample } from '../chart/key.js';
import { limitLines } from '../chart/limit-lines.js';
import { lineCode } from '../chart/line-code.js';
import { elapsedText } from '../chart/ticks.js';
import { TimeChart } from '../chart/time-chart.js';
import { ask } from '../link/ask.js';
import { placed } from '../link/engines.js';
import { placeOf } from '../link/place-of.js';
import { degreesText, toReader, unit, unitSign } from '../look/degrees.js';
import { clockText, dayText } from '../look/moments.js';
import { palette } from '../look/palette.js';

type Envelope = HistoryView['envelopes'][number];
/** A trip as it is drawn: the earlier one thin and grey, the later one in the line of its engine. */
type Loaded = { readonly trip: Trip; readonly envelopes: readonly Envelope[] };

const places = ['wet-elbow', 'dry-exhaust'];
const buckets = 800;

type Props = {
  /** The earlier one first. */
  readonly trips: readonly [Trip, Trip];
  readonly probes: readonly HistoryProbe[];
};

/** Two trips, one drawn over the other from their starts, a chart for each engine and kind. */
export const TripOverlay = ({ trips, probes }: Props) => {
  const loaded = useSignal<readonly Loaded[]>([]);
  const trouble = useSignal('');
  const pointed = useSignal<number | undefined>(undefined);
  const compared = probes.filter(({ place }) => places.includes(place));
  const names = compared.map(({ name }) => name).join(',');
  useEffect(() => {
    const given = new AbortController();
    const load = async (trip: Trip): Promise<Loaded> => {
      const query = `from=${trip.from}&to=${trip.to}&probes=${names}&buckets=${buckets}`;
      return { trip, envelopes: (await ask<HistoryView>(`api/history?${query}`, given.signal)).envelopes };
    };
    Promise.all(trips.map(load)).then(
      (found) => {
        loaded.value = found;
        trouble.value = '';
      },
      (error: Error) => {
        if (error.name !== 'AbortError') trouble.value = error.message;
      },
    );
    return () => given.abort();
  }, [trips.map(({ from }) => from).join(), names]);
  if (trouble.value) return <p class="trouble">{trouble.value}</p>;
  return (
    <section class="overlay" aria-label="One trip drawn over another">
      {loaded.value.length === 2 &&
        compared.map((probe) => (
          <OverlayChart key={probe.name} probe={probe} loaded={loaded.value} pointed={pointed} />
        ))}
    </section>
  );
};

type ChartProps = {
  readonly probe: HistoryProbe;
  readonly loaded: readonly Loaded[];
  readonly pointed: Signal<number | undefined>;
};

const OverlayChart = ({ probe, loaded, pointed }: ChartProps) => {
  const holder = useRef<HTMLDivElement>(null);
  const chart = useRef<TimeChart>();
  const codes: readonly LineCode[] = [plain, lineCode(probe)];
  const lengthS = Math.max(...loaded.map(({ trip }) => trip.to - trip.from)) / 1000;
  const ofProbe = ({ envelopes }: Loaded) => envelopes.find((one) => one.probe === probe.name);
  useLayoutEffect(() => {
    if (!holder.current) return;
    const made = new TimeChart(holder.current);
    chart.current = made;
    const lines = loaded.map((one, i) => {
      const { at = [], mean = [], everyMs = 1000 } = ofProbe(one) ?? {};
      return {
        ...(codes[i] ?? plain),
        times: at.map((t) => (t + everyMs / 2 - one.trip.from) / 1000),
        values: mean.map((value) => (typeof value === 'number' ? toReader(value) : null)),
      };
    });
    const seen = lines.flatMap(({ values }) => values.filter((v) => v !== null));
    const limits = limitLines([probe]);
    const low = Math.min(toReader(0), ...seen);
    const high = Math.max(toReader(30), ...seen, ...limits.map(({ at }) => at)) * 1.08;
    made.draw({ from: 0, to: lengthS, low, high, lines, limits, elapsed: true });
    return () => {
      made.destroy();
      chart.current = undefined;
    };
  }, [loaded, palette.value, unit.value]);
  const at = pointed.value;
  const point = (s: number) => {
    pointed.value = Math.min(lengthS, Math.max(0, s));
  };
  const name = placed(probe.engine, placeOf(probe));
  return (
    <figure>
      <figcaption>
        <b>
          {name}, {unitSign()}
        </b>{' '}
        <span class="quiet">hours since start{at !== undefined && `, at ${elapsedText(at)}`}</span>
        <ul class="key">
          {loaded.map((one, i) => (
            <li key={one.trip.from}>
              <CodeSample code={codes[i] ?? plain} />
              {dayText(one.trip.from)} {clockText(one.trip.from)}
              <b>{at !== undefined && valueAt(ofProbe(one), one.trip.from + at * 1000)}</b>
            </li>
          ))}
        </ul>
      </figcaption>
      <div
        class="plot"
        ref={holder}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys read the chart
        tabIndex={0}
        role="application"
        aria-label={`${name} on both trips: arrow keys read values`}
        onPointerMove={({ clientX }) => point(chart.current?.under(clientX).at ?? 0)}
        onKeyDown={(event) => {
          const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
          if (!way) return;
          event.preventDefault();
          point((at ?? lengthS / 2) + (way * lengthS) / 200);
        }}
      >
        {at !== undefined && <i class="pointer" style={{ left: `${chart.current?.xOf(at) ?? 0}px` }} />}
      </div>
    </figure>
  );
};

const valueAt = (envelope: Envelope | undefined, wallMs: number): string => {
  const first = envelope?.at[0];
  if (!envelope || first === undefined) return 'none';
  const mean = envelope.mean[Math.floor((wallMs - first) / envelope.everyMs)];
  return typeof mean === 'number' ? degreesText(mean) : 'none';
};
