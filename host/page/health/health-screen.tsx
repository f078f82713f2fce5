import { useSignal } from '@preact/signals';
import type { EngineHealth, Health } from '../../engine-health/health.js';
import { useAsked } from '../link/asked.js';
import { Button } from '../look/button.js';
import { degreesText, spanDegrees, unitSign } from '../look/degrees.js';
import { dayText } from '../look/moments.js';
import { Trouble } from '../look/trouble.js';
import { BaselineDrawing } from './baseline-drawing.js';
import { ColdSoakTable } from './cold-soak-table.js';
import { DueList } from './due-list.js';
import { Strip } from './strip.js';
import { Verdicts } from './verdicts.js';

const lengths = [30, 90, 180, 365] as const;

/** What weeks say: is the cooling drifting, or the load, or only a probe? */
export const HealthScreen = () => {
  const days = useSignal<number>(180);
  const { found: health, trouble } = useAsked<Health>(`api/health?days=${days.value}`);
  const seen = health.value;
  return (
    <div class="health">
      <h2 class="unseen">Health</h2>
      <div class="lengths">
        {lengths.map((length) => (
          <Button
            key={length}
            aria-pressed={days.value === length}
            onClick={() => {
              days.value = length;
            }}
          >
            {length} days
          </Button>
        ))}
      </div>
      <Trouble>{trouble.value}</Trouble>
      {!seen && !trouble.value && (
        <p class="empty" aria-busy="true">
          Reading weeks of history…
        </p>
      )}
      {seen && <HealthBody health={seen} />}
      <DueList />
      <p>
        <a class="button" href="#diagnostics">
          Diagnostics: messages and readings counted
        </a>
      </p>
    </div>
  );
};

const HealthBody = ({ health }: { readonly health: Health }) => {
  if (!health.trips)
    return <p class="empty">No trip is stored in this span yet. Health needs a few hours under way.</p>;
  return (
    <>
      <Verdicts health={health} />
      <section aria-label="Raw-water effectiveness by trip">
        <h3>Raw-water effectiveness</h3>
        <p class="quiet">
          Rise the baseline expects over rise measured, by trip: 1 is as when learned, less means that the
          water removes less heat. Bars are two standard uncertainties; posts are work that started a new
          baseline.
        </p>
        <Strip
          health={health}
          label="Effectiveness by trip"
          lines={health.engines.map(({ engine, effectiveness }) => ({
            engine: engine.id,
            name: engine.name,
            points: effectiveness,
          }))}
        />
      </section>
      {health.pairs.map(({ one, other, ratio }) => (
        <section key={`${one.id} ${other.id}`} aria-label="Twin balance by trip">
          <h3>
            {one.name} against {other.name.toLowerCase()} at equal load
          </h3>
          <p class="quiet">
            Rise of {one.name} over rise of {other.name}, against what was usual for this pair. It does not
            care about the sea, the season or the hull: when it leaves 1, one engine has drifted from the
            other.
          </p>
          <Strip
            health={health}
            label="Twin balance by trip"
            lines={[{ engine: 'all', name: `${one.name} over ${other.name}`, points: ratio }]}
          />
        </section>
      ))}
      <h3>What the baselines were learned on</h3>
      <div class="pair">
        {health.engines.map((of) => (
          <Engine key={of.engine.id} health={of} all={health.engines} />
        ))}
      </div>
      <ColdSoakTable {...health} />
    </>
  );
};

type EngineProps = { readonly health: EngineHealth; readonly all: readonly EngineHealth[] };

const Engine = ({ health, all }: EngineProps) => (
  <section class="baseline-of" aria-label={`${health.engine.name} baseline`}>
    <header>
      <h2>{health.engine.name}</h2>
      <p>
        {health.baseline
          ? `baseline of ${health.baseline.trips} trips from ${dayText(health.baselineFrom ?? 0)}, ± ${spanDegrees(2 * health.baseline.residualK, 1)} ${unitSign()}`
          : 'no baseline yet: needs steady running at several loads'}
      </p>
    </header>
    <BaselineDrawing health={health} all={all} />
    {health.baseline && (
      <p class="quiet">
        Learned between {degreesText(health.baseline.fromGasC, 0)} and{' '}
        {degreesText(health.baseline.toGasC, 0)} of exhaust gas; nothing is claimed outside.
      </p>
    )}
  </section>
);
