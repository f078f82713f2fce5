import type { Limit } from './limit.js';
import type { Place } from './places.js';

/**
 * Between these a setpoint is plausible; outside it is a mistake, Fahrenheit, or another probe's. Wet
 * elbow: rubber exhaust hose bears 100 to 121 C. Dry exhaust: iron glows dull red from about 550 C, and a diesel's gas
 * stays below 800 C (all common practice, no source). Sea and air: what boats meet, with room to spare.
 */
export const setpointsC: Readonly<Partial<Record<Place, { readonly least: number; readonly most: number }>>> =
  {
    'wet-elbow': { least: 25, most: 121 },
    'dry-exhaust': { least: 50, most: 800 },
    'before-turbo': { least: 50, most: 900 },
    'sea-water': { least: 0, most: 60 },
    'engine-room': { least: 10, most: 100 },
  };

type Limits = { readonly alarm?: Limit | undefined; readonly warning?: Limit | undefined };

/** What is wrong with the setpoints of one probe, each with the setting it is about; empty when they are plausible. */
export const setpointTroubles = (
  place: Place,
  limits: Limits,
): { readonly path: readonly string[]; readonly message: string }[] => {
  const between = setpointsC[place];
  if (!between)
    return (['warning', 'alarm'] as const)
      .filter((kind) => limits[kind] !== undefined)
      .map((kind) => ({
        path: ['limits', kind],
        message: `limits are temperatures, and a ${place} probe measures none; what is normal there is learned`,
      }));
  const { least, most } = between;
  const troubles = (['warning', 'alarm'] as const).flatMap((kind) => {
    const raiseAtC = limits[kind]?.raiseAtC;
    if (raiseAtC === undefined || (raiseAtC >= least && raiseAtC <= most)) return [];
    const celsius = Math.round(((raiseAtC - 32) / 1.8) * 10) / 10;
    const hint =
      celsius >= least && celsius <= most
        ? ` If that was Fahrenheit, write ${celsius}: a kit file is in Celsius.`
        : '';
    return [
      {
        path: ['limits', kind, 'raiseAtC'],
        message: `${raiseAtC} C is not plausible for a ${place} probe; its setpoints must be between ${least} and ${most} C.${hint}`,
      },
    ];
  });
  const { warning, alarm } = limits;
  if (warning && alarm && warning.raiseAtC >= alarm.raiseAtC)
    troubles.push({
      path: ['limits', 'warning', 'raiseAtC'],
      message: `the warning at ${warning.raiseAtC} C must be below the alarm at ${alarm.raiseAtC} C, or it never comes first`,
    });
  return troubles;
};
