import type { CalibratedInput, ToleranceClass } from '../../calibration/index.js';
import { type Kit, kindOf } from '../../node/index.js';

/** What a calibration needs to know of a probe, from its lines in the kit file. */
export const inputOf = ({ name, channel }: Kit['probes'][number], wire: ToleranceClass): CalibratedInput => ({
  name,
  ...kindOf(channel).meter.calibrated(channel, wire),
});
