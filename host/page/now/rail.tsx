import type { ProbeNow } from '../../serve/now.js';
import { spanDegrees } from '../look/degrees.js';
import { along, railSpan } from './scale.js';

/**
 * Room drawn as a distance, as a draughtsman would: the scale, the probe's place on it, the setpoints as walls,
 * and a dimension line between. Grows outward from the keel on both sides, so that two healthy engines are
 * mirror images and an unequal pair is seen before it is read.
 */
export const Rail = ({ probe }: { readonly probe: ProbeNow }) => {
  const span = railSpan(probe);
  const { warning, alarm } = probe.limits;
  const known = probe.temperatureC !== undefined && probe.quality === 'good';
  const at = known && probe.temperatureC !== undefined ? along(probe.temperatureC, span) : undefined;
  const wall = probe.roomTo && probe.limits[probe.roomTo]?.raiseAtC;
  const wallAt = wall === undefined ? undefined : along(wall, span);
  return (
    <div class="rail" aria-hidden="true">
      <i class="line" />
      {warning && <i class="wall warning" style={{ '--at': along(warning.raiseAtC, span) }} />}
      {alarm && <i class="wall alarm" style={{ '--at': along(alarm.raiseAtC, span) }} />}
      {at !== undefined && <i class="taken" style={{ '--at': at }} />}
      {at !== undefined && wallAt !== undefined && wallAt > at && (
        <i class="dimension" style={{ '--at': at, '--to': wallAt }}>
          {wallAt - at > 16 && probe.roomC !== undefined && <b>{spanDegrees(probe.roomC)}</b>}
        </i>
      )}
      {at !== undefined && <i class="marker" style={{ '--at': at }} />}
    </div>
  );
};
