import { allEngines, enginesOf } from '../../node/index.js';
import type { PlanAnswers } from './answers.js';
import type { Mounting } from './response.js';

/** A probe to be planned, before pins are given out. */
export type PlannedSpot = {
  readonly id: string;
  readonly name: string;
  /** The id of an engine, or `all`. */
  readonly engine: string;
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

/** The engines of the answers, named, and which of them are compared. */
export const plannedEnginesOf = ({ engines, alike }: PlanAnswers) => {
  const propulsion = engines.filter(({ kind }) => kind === 'propulsion').map(({ id }) => id);
  return enginesOf(engines, alike ?? (propulsion.length > 1 ? [propulsion] : undefined));
};

/** Every probe the answers ask for, elbows first. Spans are common practice, no source. */
export const plannedSpots = (answers: PlanAnswers): readonly PlannedSpot[] => {
  const { wetElbow, exhaustGas } = answers;
  const { engines } = plannedEnginesOf(answers);
  const elbow = (mounting: 'strap-on' | 'well', which: { readonly id: string; readonly name: string }) =>
    engines.map(
      ({ id, name }): PlannedSpot => ({
        id: `${id}-${which.id}`,
        name: `${name} ${which.name}`,
        engine: id,
        place: 'wet-elbow',
        mounting,
        kind: 'ntc',
        fromC: -10,
        toC: 130,
        bestAtC: wetElbow.limits.alarmAtC,
        ...wetElbow.limits,
      }),
    );
  const elbows = [
    ...elbow(wetElbow.mounting, { id: 'elbow', name: 'wet elbow' }),
    ...(wetElbow.second
      ? elbow(wetElbow.second, {
          id: 'elbow-2',
          name: `second wet elbow (${wetElbow.second === 'well' ? 'well' : 'ring'})`,
        })
      : []),
  ];
  const shared = (place: 'sea-water' | 'engine-room', name: string, mounting: Mounting): PlannedSpot => ({
    id: place,
    name,
    engine: allEngines,
    place,
    mounting,
    kind: 'ntc',
    ...(place === 'sea-water'
      ? { fromC: -5, toC: 45, bestAtC: 20 }
      : { fromC: -15, toC: 90, bestAtC: 60, warnAtC: 65 }),
  });
  const gas = (place: 'dry-exhaust' | 'before-turbo', word: string, warnAtC: number) =>
    engines.map(
      ({ id, name }): PlannedSpot => ({
        id: place === 'dry-exhaust' ? `${id}-exhaust` : `${id}-before-turbo`,
        name: `${name} ${word}`,
        engine: id,
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
    ...(answers.seaWaterProbe ? [shared('sea-water', 'Sea water', 'well')] : []),
    ...(answers.engineRoomProbe ? [shared('engine-room', 'Engine-room air', 'free')] : []),
    ...(exhaustGas.amplifier === 'none' ? [] : gas('dry-exhaust', 'exhaust gas', exhaustGas.warnAtC)),
    ...(exhaustGas.amplifier !== 'none' && exhaustGas.beforeTurbo
      ? gas('before-turbo', 'exhaust gas before the turbo', exhaustGas.beforeTurboWarnAtC)
      : []),
  ];
};
