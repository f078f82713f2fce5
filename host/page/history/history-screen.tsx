import { type Signal, useComputed, useSignal, useSignalEffect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { HistoryProbe, HistoryView } from '../../serve/history-routes.js';
import { LineSample } from '../chart/key.js';
import { panels } from '../chart/panels.js';
import { keepInLink, route } from '../frame/route.js';
import { placed } from '../link/engines.js';
import { placeOf } from '../link/place-of.js';
import { Columns, Row } from '../look/columns.js';
import { linkedUnit, unit } from '../look/degrees.js';
import { valueText } from '../look/quantity.js';
import { Trouble } from '../look/trouble.js';
import { EnvelopeChart } from './envelope-chart.js';
import { Marks } from './marks.js';
import { SavedAs } from './save-csv.js';
import { SavePicture } from './save-picture.js';
import { ServiceForm } from './service-form.js';
import { endingNow, fromLink, hourMs, type Shown, toLink } from './span.js';
import { SpanBar } from './span-bar.js';
import { useStored } from './stored.js';
import { Trips } from './trips.js';

/** Any span from a minute to a year, both engines, with everything that happened marked. */
export const HistoryScreen = () => {
  const shown = useSignal<Shown>(fromLink(route.value.query, Date.now()) ?? endingNow(hourMs, Date.now()));
  const chosen = useSignal<readonly string[]>(
    route.value.query.get('probes')?.split(',').filter(Boolean) ?? [],
  );
  const { contents, view, trouble, askAgain } = useStored(shown, chosen);

  useFollowing(shown);
  useLink(shown, chosen);

  const probes = useComputed(() => contents.value?.probes.filter((p) => chosen.value.includes(p.name)) ?? []);
  const pointed = useSignal<number | undefined>(undefined);
  const change = (to: Shown) => {
    shown.value = to;
  };
  const lookAt = (to: Shown) => {
    change(to);
    document.querySelector('.span-bar')?.scrollIntoView();
  };
  const seen = view.value;
  return (
    <div class="history">
      <h2 class="unseen">History</h2>
      <SpanBar shown={shown.value} contents={contents.value} change={change} />
      <ProbeChoice probes={contents.value?.probes ?? []} chosen={chosen} />
      <Trouble>{trouble.value}</Trouble>
      {contents.value && !contents.value.probes.length && (
        <p class="empty">Nothing is stored yet. History begins with the first reading.</p>
      )}
      {seen && (
        <>
          {panels.map((panel) => (
            <EnvelopeChart
              key={panel.title}
              panel={panel}
              probes={probes.value.filter(panel.has)}
              view={seen}
              shown={shown.value}
              change={change}
              pointed={pointed}
            />
          ))}
          <Marks view={seen} shown={shown.value} look={lookAt} />
          <Trips shown={shown.value} look={lookAt} probes={contents.value?.probes ?? []} />
          <Extremes view={seen} titles={new Map(probes.value.map((p) => [p.name, p.title]))} />
        </>
      )}
      {!seen && !trouble.value && contents.value?.probes.length !== 0 && (
        <p class="empty" aria-busy="true">
          Reading the store…
        </p>
      )}
      <div class="below">
        {seen && <SavedAs view={seen} />}
        {seen && <SavePicture from={seen.from} />}
        <ServiceForm saved={askAgain} pointed={pointed} />
      </div>
    </div>
  );
};

/** A span that ends now moves on with the clock. */
const useFollowing = (shown: Signal<Shown>): void =>
  useEffect(() => {
    const following = setInterval(() => {
      const { from, to, follows } = shown.value;
      if (follows) shown.value = endingNow(to - from, Date.now());
    }, 5_000);
    return () => clearInterval(following);
  }, []);

/** The address of the page names span, probes and unit, so that it can be sent to somebody. */
const useLink = (shown: Signal<Shown>, chosen: Signal<readonly string[]>): void => {
  useSignalEffect(() => {
    const probes = chosen.value.join(',');
    keepInLink({ ...toLink(shown.value), ...(probes && { probes }), unit: unit.value });
  });

  // A link to another span while this screen is open; its own changes of the address are not announced.
  const linked = route.value.query;
  useEffect(() => {
    const asked = route.value.screen === 'history' ? fromLink(linked, Date.now()) : undefined;
    if (asked) shown.value = asked;
  }, [linked]);

  // After the effects above, so that when the screen closes they are gone before the unit goes back.
  useEffect(() => {
    const named = route.value.query.get('unit');
    linkedUnit.value = named === 'C' || named === 'F' ? named : undefined;
    return () => {
      linkedUnit.value = undefined;
    };
  }, []);
};

type ChoiceProps = {
  readonly probes: readonly HistoryProbe[];
  readonly chosen: Signal<readonly string[]>;
};

const ProbeChoice = ({ probes, chosen }: ChoiceProps) => (
  <fieldset class="chips">
    <legend class="unseen">Probes shown</legend>
    {probes.map((probe) => (
      <label key={probe.name}>
        <input
          type="checkbox"
          checked={chosen.value.includes(probe.name)}
          onChange={(event) => {
            const others = chosen.value.filter((name) => name !== probe.name);
            chosen.value = event.currentTarget.checked ? [...others, probe.name] : others;
          }}
        />
        {placed(probe.engine, placeOf(probe))}
        <LineSample {...probe} />
      </label>
    ))}
  </fieldset>
);

/** The same in words and numbers, for those who cannot see the lines. */
const Extremes = ({
  view,
  titles,
}: {
  readonly view: HistoryView;
  readonly titles: ReadonlyMap<string, string>;
}) => (
  // biome-ignore lint/a11y/noNoninteractiveTabindex: on a phone it is scrolled, by keyboard too
  <table class="extremes" tabIndex={0}>
    <caption>Minimum, mean and maximum in view</caption>
    <Columns of={['Probe', 'Min', 'Mean', 'Max', 'Readings', 'Missing']} />
    <tbody>
      {view.envelopes.map(({ probe, quantity, n, missing, min, mean: means, max }) => {
        const total = n.reduce((sum, count) => sum + count, 0);
        const mean = means.reduce<number>((sum, m, i) => sum + (m ?? 0) * (n[i] ?? 0), 0) / total;
        const least = Math.min(...min.filter((v) => typeof v === 'number'));
        const greatest = Math.max(...max.filter((v) => typeof v === 'number'));
        const text = (value: number) => (total > 0 ? valueText(quantity, value) : 'none');
        return (
          <Row
            key={probe}
            of={[
              titles.get(probe) ?? probe,
              ...[least, mean, greatest].map(text),
              total,
              missing.reduce((sum, count) => sum + count, 0),
            ]}
          />
        );
      })}
    </tbody>
  </table>
);
