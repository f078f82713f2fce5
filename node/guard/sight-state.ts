import type { Engine } from '../kit/engines.js';
import type { ProbeId } from '../reading/reading.js';
import { noResponseYet, type ResponseProof } from './response-proof.js';

/**
 * Whether the guard can see that an engine is cooled. A probe that is present, and even one that sends numbers, proves
 * nothing: what counts is that its detectors could work with what it sent. A running engine that no probe shows is a
 * warning that sounds, because silence would be taken for safety (de-energise to trip).
 */
export type Sight = {
  readonly probes: Readonly<Record<ProbeId, ProbeSight>>;
  /** How long the gas of each engine has denied an input that says stopped, s. */
  readonly gasDeniesS: Readonly<Record<Engine, number>>;
  /** Counts the starts of this guard: a person who knew of a blindness is asked again after each. */
  readonly watch: number;
};

export type ProbeSight = {
  /** Seconds without judgement, less the seconds with it, s. */
  readonly unseenS: number;
  readonly lost: boolean;
  readonly answering: ResponseProof;
};

export const unknownSight: ProbeSight = { unseenS: 0, lost: false, answering: noResponseYet };

export const firstSight: Sight = { probes: {}, gasDeniesS: {}, watch: 1 };

/** After a start what is seen is found out again; how long a probe has gone without proof goes on. */
export const resumedSight = (remembered: Sight | undefined): Sight => ({
  watch: (remembered?.watch ?? 0) + 1,
  gasDeniesS: {},
  probes: Object.fromEntries(
    Object.entries(remembered?.probes ?? {}).map(([id, { answering }]) => [
      id,
      { ...unknownSight, answering: answering ?? noResponseYet },
    ]),
  ),
});
