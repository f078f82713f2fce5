import type { CalibratedInput, ToleranceClass } from '../../calibration/index.js';
import { type Kit, kindOf } from '../../node/index.js';

/** What a calibration in baths needs to know of a probe, from its lines in the kit file. Throws NotAThermometer. */
export const inputOf = ({ name, channel }: Kit['probes'][number], wire: ToleranceClass): CalibratedInput => {
  const { meter } = kindOf(channel);
  if (meter.quantity !== 'temperature')
    throw new NotAThermometer(
      `${name} measures ${meter.quantity}: baths say nothing of it. A pressure probe is calibrated with a hose of water: elbowroom calibrate-pressure`,
    );
  return { name, ...meter.calibrated(channel, wire) };
};

/** A probe that no bath can calibrate. */
export class NotAThermometer extends Error {
  readonly code = 'not-a-thermometer';
}

export const isThermometer = ({ channel }: Kit['probes'][number]): boolean =>
  kindOf(channel).meter.quantity === 'temperature';
