import type { PlanAnswers } from './answers.js';
import type { Mounting } from './response.js';

/** A probe to be planned, before pins are given out. */
export type PlannedSpot = {
  readonly id: string;
  readonly name: string;
  readonly engine: 'port' | 'starboard' | 'both';
  readonly place: 'wet-elbow' | 'dry-exhaust' | 'before-turbo' | 'sea-water' | 'engine-room';
  readonly mounting: Mounting;
  readonly kind: 'ntc' | 'thermocouple';
  /** The span it must read, without being taken for a broken wire. */
  readonly fromC: number;
  readonly toC: number;
  /** Where it must read best. */
  readonly bestAtC: number;
  readonly warnAtC?: number;
  readonly alarmAtC?: number;
};

const sides = [
  ['port', 'Port'],
  ['starboard', 'Starboard'],
] as const;

/** Every probe the answers ask for, elbows first. Spans are common practice, no source. */
export const plannedSpots = (answers: PlanAnswers): readonly PlannedSpot[] => {
  const { wetElbow, exhaustGas } = answers;
  const elbows = sides.map(
    ([engine, side]): PlannedSpot => ({
      id: `${engine}-elbow`,
      name: `${side} wet elbow`,
      engine,
      place: 'wet-elbow',
      mounting: wetElbow.mounting,
      kind: 'ntc',
      fromC: -10,
      toC: 130,
      bestAtC: wetElbow.limits.alarmAtC,
      ...wetElbow.limits,
    }),
  );
  const both = (place: 'sea-water' | 'engine-room', name: string, mounting: Mounting): PlannedSpot => ({
    id: place,
    name,
    engine: 'both',
    place,
    mounting,
    kind: 'ntc',
    ...(place === 'sea-water'
      ? { fromC: -5, toC: 45, bestAtC: 20 }
      : { fromC: -15, toC: 90, bestAtC: 60, warnAtC: 65 }),
  });
  const gas = (place: 'dry-exhaust' | 'before-turbo', word: string, warnAtC: number) =>
    sides.map(
      ([engine, side]): PlannedSpot => ({
        id: place === 'dry-exhaust' ? `${engine}-exhaust` : `${engine}-before-turbo`,
        name: `${side} ${word}`,
        engine,
        place,
        mounting: 'free',
        kind: 'thermocouple',
        fromC: -10,
        toC: place === 'dry-exhaust' ? 650 : 800,
        bestAtC: warnAtC,
        warnAtC,
      }),
    );
  return [
    ...elbows,
    ...(answers.seaWaterProbe ? [both('sea-water', 'Sea water', 'well')] : []),
    ...(answers.engineRoomProbe ? [both('engine-room', 'Engine-room air', 'free')] : []),
    ...(exhaustGas.amplifier === 'none' ? [] : gas('dry-exhaust', 'exhaust gas', exhaustGas.warnAtC)),
    ...(exhaustGas.amplifier !== 'none' && exhaustGas.beforeTurbo
      ? gas('before-turbo', 'exhaust gas before the turbo', exhaustGas.beforeTurboWarnAtC)
      : []),
  ];
};
