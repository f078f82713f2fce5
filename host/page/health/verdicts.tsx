import type { EngineHealth, Health } from '../../engine-health/health.js';
import { type PumpHealth, pumpVerdictOf, pumpWords } from '../../engine-health/pump-verdict.js';
import { type Verdict, verdictOf } from '../../engine-health/verdict.js';
import { spanDegrees, unitSign } from '../look/degrees.js';

/** What is probably true of each engine, first and in plain words, with its evidence. */
export const Verdicts = ({ health }: { readonly health: Health }) => (
  <section class="verdicts" aria-label="Verdict">
    {health.engines.map((of) => (
      <EngineVerdict key={of.engine.id} of={of} health={health} />
    ))}
  </section>
);

const EngineVerdict = ({ of, health }: { readonly of: EngineHealth; readonly health: Health }) => {
  const verdict = verdictOf(of, health.coldSoaks);
  const { title, advice } = words[verdict.kind];
  return (
    <article class={verdict.kind}>
      <h3>
        {of.engine.name}: {title}
      </h3>
      <p>{advice}</p>
      <p class="quiet">{evidence(verdict, health.coldSoaksTell)}</p>
      {of.pump && <PumpLine of={of.pump} />}
    </article>
  );
};

const PumpLine = ({ of }: { readonly of: PumpHealth }) => {
  const { kind, ratio, twoSigma = 0 } = pumpVerdictOf(of);
  const { says, advice } = pumpWords[kind];
  return (
    <>
      <p>
        {says} {advice}
      </p>
      {ratio !== undefined && (
        <p class="quiet">
          Last trips: {percent(ratio)} of what was learned at the same exhaust gas (± {percent(twoSigma)}).
        </p>
      )}
    </>
  );
};

const words: Readonly<Record<Verdict['kind'], { readonly title: string; readonly advice: string }>> = {
  unknown: {
    title: 'too early to judge',
    advice: 'Needs three trips with steady running since its baseline.',
  },
  'as-learned': { title: 'cooling as when learned', advice: 'Nothing to do.' },
  probe: {
    title: 'probably the elbow probe, not the cooler',
    advice:
      'Calibrate the elbow probe first. If the cooling is still down after that, check strainer, impeller and cooler: close the seacock before you open strainer or pump, and open it again before you start the engine.',
  },
  'less-cooling': {
    title: 'less cooling than when learned',
    advice:
      'With the engine stopped and cold, check strainer, impeller and cooler. Close the seacock before you open strainer or pump, and open it again before you start the engine.',
  },
  'more-cooling': {
    title: 'more cooling than when learned',
    advice: 'Was work done that is not in the log? Log it, so that a new baseline starts.',
  },
};

const percent = (ratio: number) => `${(100 * ratio).toFixed(0)} %`;

const evidence = (
  { effectiveness, twoSigma = 0, driftK, withoutDrift }: Verdict,
  coldSoaksTell: boolean,
): string => {
  if (effectiveness === undefined) return '';
  const cooling = `Cooling on the last trip: ${percent(effectiveness)} of what was learned (± ${percent(twoSigma)}).`;
  if (driftK === undefined && !coldSoaksTell) return cooling;
  if (driftK === undefined)
    return `${cooling} No two cold starts since then show whether the probe has drifted.`;
  const drift = `${driftK > 0 ? '+' : ''}${spanDegrees(driftK, 1)} ${unitSign()}`;
  const without =
    withoutDrift !== undefined && Math.abs(driftK) > 0.5 ? ` Without it: ${percent(withoutDrift)}.` : '';
  return `${cooling} The elbow probe against the others after a night: ${drift} since then.${without}`;
};
