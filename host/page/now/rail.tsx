import type { ProbeNow } from '../../serve/now.js';
import { along } from './scale.js';

type Props = { readonly probe: ProbeNow; readonly toC: number };

/** Temperature as a bar that grows to the right, on the scale of its kind, with the limits as walls. */
export const Rail = ({ probe, toC }: Props) => {
  const { warning, alarm } = probe.limits;
  const at =
    probe.temperatureC !== undefined && probe.quality === 'good' ? along(probe.temperatureC, toC) : undefined;
  return (
    <div class="rail" aria-hidden="true">
      {at !== undefined && <i class="taken" style={{ '--at': at }} />}
      {warning && <i class="wall warning" style={{ '--at': along(warning.raiseAtC, toC) }} />}
      {alarm && <i class="wall alarm" style={{ '--at': along(alarm.raiseAtC, toC) }} />}
    </div>
  );
};
