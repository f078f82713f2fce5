import type { GuardBand } from '../../calibrate/guard-lines.js';
import type { ProbeNow } from '../../serve/now.js';
import { useAsked } from '../link/asked.js';
import { degreesText } from '../look/degrees.js';

type Props = { readonly probe: ProbeNow; readonly limitC: number | undefined };

/** Where to set an alarm so that its temperature is not passed unheard, by the certificate of the probe. */
export const GuardBandWords = ({ probe, limitC }: Props) => {
  const path = `api/guard-band?probe=${encodeURIComponent(probe.id)}`;
  const { found: answer } = useAsked<{ readonly band: GuardBand | null }>(path, { asOf: probe.certificate });
  const found = answer.value?.band;
  if (limitC === undefined || !found) return null;
  return (
    <p>
      Where {degreesText(limitC)} must not be passed unheard, set the alarm to{' '}
      {degreesText(limitC - bandAt(found, limitC))}: late in at most {(100 * found.lateChance).toFixed(0)} of
      100 cases by certificate {found.certificate}.
    </p>
  );
};

/** Straight between two steps; beyond the last one as there. */
const bandAt = ({ steps }: GuardBand, limitC: number): number => {
  const above = steps.findIndex((step) => step.limitC >= limitC);
  const high = steps[above] ?? steps.at(-1);
  const low = steps[above - 1] ?? high;
  if (!high || !low) return 0;
  const share = high.limitC > low.limitC ? (limitC - low.limitC) / (high.limitC - low.limitC) : 0;
  return low.bandC + share * (high.bandC - low.bandC);
};
