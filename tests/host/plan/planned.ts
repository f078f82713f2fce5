import { answersSchema } from '../../../host/plan/answers.js';
import { makePlan } from '../../../host/plan/make-plan.js';

/** A plan of two engines, but for what is given. */
export const plan = (over: object = {}) =>
  makePlan(
    answersSchema.parse({
      plan: 1,
      boat: 'Marsh Harrier',
      engines: [{ id: 'port' }, { id: 'starboard' }],
      ...over,
    }),
  );

export const generator = { id: 'generator', kind: 'generator', ratedKw: 9 } as const;
/** One to four engines. */
export const boats = [
  [{ id: 'main' }],
  [{ id: 'port' }, { id: 'starboard' }],
  [{ id: 'port' }, { id: 'starboard' }, generator],
  [{ id: 'port' }, { id: 'centre' }, { id: 'starboard' }, generator],
] as const;
