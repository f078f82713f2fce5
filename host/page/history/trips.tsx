import { useSignal } from '@preact/signals';
import type { HistoryProbe } from '../../serve/history-routes.js';
import type { Trip } from '../../serve/trips.js';
import { ask } from '../link/ask.js';
import { Button } from '../look/button.js';
import { Columns } from '../look/columns.js';
import { degrees, unitSign } from '../look/degrees.js';
import { clockText, dayText } from '../look/moments.js';
import { placeName } from '../look/words.js';
import type { Shown } from './span.js';
import { TripOverlay } from './trip-overlay.js';

type Props = {
  readonly shown: Shown;
  readonly look: (to: Shown) => void;
  readonly probes: readonly HistoryProbe[];
};

/**
 * The trips in view, newest first: hours, minimum, mean and maximum while running, alerts; a button shows each on the
 * chart, and two that are ticked are drawn over each other.
 */
export const Trips = ({ shown, look, probes }: Props) => {
  const trips = useSignal<readonly Trip[] | undefined>(undefined);
  /** Starts of those that are ticked, at most two. */
  const ticked = useSignal<readonly number[]>([]);
  const [earlier, later] = (trips.value ?? [])
    .filter(({ from }) => ticked.value.includes(from))
    .sort((a, b) => a.from - b.from);
  const trouble = useSignal('');
  const open = () =>
    ask<readonly Trip[]>(`api/trips?from=${Math.round(shown.from)}&to=${Math.round(shown.to)}`).then(
      (found) => {
        trips.value = found;
        trouble.value = '';
      },
      (error: Error) => {
        trouble.value = error.message;
      },
    );
  return (
    <section class="trips" aria-label="Trips">
      <p>
        <Button onClick={open}>List the trips in view</Button> {trouble.value}
      </p>
      {trips.value?.length === 0 && <p class="quiet">No trip in this span.</p>}
      {trips.value && trips.value.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: on a phone it is scrolled, by keyboard too
        <table tabIndex={0}>
          <caption>Trips, {unitSign()} while running: min, mean, max</caption>
          <Columns
            of={['Start', 'Compare', 'Engine', 'Hours', 'Wet elbow', 'Exhaust gas', 'Alerts on the trip']}
          >
            <th scope="col">
              <span class="unseen">Chart</span>
            </th>
          </Columns>
          <tbody>
            {trips.value.map((trip) => (
              <TripRows
                key={trip.from}
                trip={trip}
                isTicked={ticked.value.includes(trip.from)}
                tick={(on) => {
                  const others = ticked.value.filter((from) => from !== trip.from);
                  ticked.value = on ? [...others.slice(-1), trip.from] : others;
                }}
                look={look}
              />
            ))}
          </tbody>
        </table>
      )}
      {ticked.value.length === 1 && <p class="quiet">Tick a second trip to compare the two.</p>}
      {earlier && later && <TripOverlay trips={[earlier, later]} probes={probes} />}
    </section>
  );
};

type RowsProps = {
  readonly trip: Trip;
  readonly isTicked: boolean;
  readonly tick: (on: boolean) => void;
  readonly look: Props['look'];
};

/** A row for each engine; what belongs to the whole trip spans them. */
const TripRows = ({ trip, isTicked, tick, look }: RowsProps) => {
  const rowSpan = trip.engines.length;
  const start = `${dayText(trip.from)} ${clockText(trip.from)}`;
  return trip.engines.map((engine, i) => (
    <tr key={engine.id}>
      {i === 0 && (
        <>
          <th scope="row" rowSpan={rowSpan}>
            {start}
          </th>
          <td rowSpan={rowSpan}>
            <label class="tick">
              <input
                type="checkbox"
                checked={isTicked}
                onChange={(event) => tick(event.currentTarget.checked)}
              />
              <span class="unseen">Compare the trip of {start} with another</span>
            </label>
          </td>
        </>
      )}
      <td>{engine.name}</td>
      <td>{engine.hours.toFixed(1)}</td>
      {['wet-elbow', 'dry-exhaust'].map((place) => (
        <td key={place}>{rangeAt(engine, place)}</td>
      ))}
      {i === 0 && (
        <>
          <td rowSpan={rowSpan}>{alertsText(trip)}</td>
          <td rowSpan={rowSpan}>
            <Button onClick={() => look({ from: trip.from, to: trip.to, follows: false })}>
              Show on chart
            </Button>
          </td>
        </>
      )}
    </tr>
  ));
};

const rangeAt = ({ probes }: Trip['engines'][number], place: string): string => {
  const found = probes.find((probe) => probe.place === place);
  if (!found) return `no ${placeName(place).toLowerCase()}`;
  return [found.minC, found.meanC, found.maxC].map((c) => degrees(c, 0)).join(' / ');
};

const alertsText = ({ alerts }: Trip): string => {
  const parts = Object.entries(alerts).flatMap(([priority, n]) =>
    n > 0 ? [`${n} ${priority}${n > 1 ? 's' : ''}`] : [],
  );
  return parts.join(', ') || 'none';
};
