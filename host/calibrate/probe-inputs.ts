import type { CalibratedInput, ToleranceClass } from '../../calibration/index.js';
import { type Kit, kindOf, RoomError } from '../../node/index.js';

/** What a calibration in baths needs to know of a probe, from its lines in the kit file. Throws NotAThermometerError. */
export const inputOf = ({ name, channel }: Kit['probes'][number], wire: ToleranceClass): CalibratedInput => {
  const { meter } = kindOf(channel);
  if (meter.quantity !== 'temperature')
    throw new NotAThermometerError(
      `${name} measures ${meter.quantity}: baths say nothing of it. A pressure probe is calibrated with a hose of water: elbowroom calibrate-pressure`,
    );
  return { name, ...meter.calibrated(channel, wire) };
};

/** A probe that no bath can calibrate. */
export class NotAThermometerError extends RoomError {
  readonly code = 'not-a-thermometer';
  readonly errorCategory = 'usage';
}

export const isThermometer = ({ channel }: Kit['probes'][number]): boolean =>
  kindOf(channel).meter.quantity === 'temperature';
