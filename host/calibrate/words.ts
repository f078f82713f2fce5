import type { Bath } from '../../calibration/index.js';
import { type Degrees, pointText } from '../wording/degrees.js';

/** Printed once, before anything hot or wet is touched. */
export const cautions = `Before you start
  Boiling water and steam scald. Work on a level place ashore or at the dock, never under way.
  Keep mains leads and the cooker's controls away from the water; lift the pot lid away from you.
  Probe cables may touch neither flame nor hot plate; steam rises along a cable, so lead it out sideways.
  Engines stay off and cold. This kit does not replace the engine's own alarms.`;

/** From here on a bath is oil or metal: water boils. */
export const hotFromC = 95;
export const hotCaution = `HOT OIL BURNS AND CATCHES FIRE. Use a dry metal block in an oven or on a plate, or a thermostat bath made for it, ashore and outdoors or
well aired; no open flame, a lid and a fire blanket at hand, never water near it: one drop spits burning oil. Oil stays at
least 50 C below its flash point. Insulation of a probe made for 105 C melts here. Let everything cool before you touch it.`;

/** What to do for a bath, in plain words. */
export function instructions(bath: Bath, degrees: Degrees): string {
  const t = pointText(degrees, bath.temperatureC, 2);
  switch (bath.kind) {
    case 'ice':
      return `Ice bath (${t}): fill a jug with crushed ice, add cold fresh water until it just floats, stir. Hold the probes in
the middle, not on the bottom, and stir now and then. I take over as soon as they read near ${t}.`;
    case 'boiling':
      return `Boiling water (${t} at ${bath.conditions.stationPressureHpa?.toFixed(1)} hPa): a full rolling boil, lid ajar, the probes in the water
and off the bottom. Mind the steam. I take over as soon as they read near ${t}.`;
    case 'reference':
      return `Reference bath (${t} by your thermometer): stir well, keep probes and thermometer side by side. I take over as
soon as they read near ${t}.${bath.temperatureC > hotFromC ? `\n${hotCaution}` : ''}`;
  }
}
