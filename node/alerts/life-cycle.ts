import type { AlertState } from './alert.js';

/**
 * The life of one alert as a table: every state by every event, each cell filled on purpose.
 * After IMO MSC.302(87) 7.3 (states, silence, sight, sound), MSC.252(83) 20.2.7 and 20.2.8 (steady until rectified),
 * A.1021(26) and MODU Code 8.7 (kept until accepted, shown until corrected, then reset by itself).
 */
export const lifeStates = [
  'normal',
  'unacknowledged',
  'acknowledged',
  'shelved',
  'rectified-unacknowledged',
  'rectified-acknowledged',
] as const;
export type LifeState = (typeof lifeStates)[number];

export const lifeEvents = [
  /** The condition is active. */
  'occur',
  /** The condition is active and more severe than before, or a warning was not acknowledged in time. */
  'worsen',
  /** The condition is gone. */
  'rectify',
  'acknowledge',
  'silence',
  'shelve',
  /** A person takes it off the shelf, or the time on the shelf is over. */
  'unshelve',
  /** A rectified and acknowledged alert has been in view long enough. */
  'age',
] as const;
export type LifeEvent = (typeof lifeEvents)[number];

type Row = Readonly<Record<LifeEvent, LifeState>>;

const table: Readonly<Record<LifeState, Row>> = {
  normal: {
    occur: 'unacknowledged',
    worsen: 'unacknowledged',
    rectify: 'normal',
    acknowledge: 'normal',
    silence: 'normal',
    shelve: 'normal',
    unshelve: 'normal',
    age: 'normal',
  },
  unacknowledged: {
    occur: 'unacknowledged',
    worsen: 'unacknowledged',
    rectify: 'rectified-unacknowledged',
    acknowledge: 'acknowledged',
    silence: 'unacknowledged',
    shelve: 'shelved',
    unshelve: 'unacknowledged',
    age: 'unacknowledged',
  },
  acknowledged: {
    occur: 'acknowledged',
    worsen: 'unacknowledged',
    rectify: 'rectified-acknowledged',
    acknowledge: 'acknowledged',
    silence: 'acknowledged',
    shelve: 'shelved',
    unshelve: 'acknowledged',
    age: 'acknowledged',
  },
  shelved: {
    occur: 'shelved',
    worsen: 'unacknowledged',
    rectify: 'rectified-acknowledged',
    acknowledge: 'shelved',
    silence: 'shelved',
    shelve: 'shelved',
    unshelve: 'unacknowledged',
    age: 'shelved',
  },
  'rectified-unacknowledged': {
    occur: 'unacknowledged',
    worsen: 'unacknowledged',
    rectify: 'rectified-unacknowledged',
    acknowledge: 'rectified-acknowledged',
    silence: 'rectified-unacknowledged',
    shelve: 'rectified-unacknowledged',
    unshelve: 'rectified-unacknowledged',
    age: 'rectified-unacknowledged',
  },
  'rectified-acknowledged': {
    occur: 'unacknowledged',
    worsen: 'unacknowledged',
    rectify: 'rectified-acknowledged',
    acknowledge: 'rectified-acknowledged',
    silence: 'rectified-acknowledged',
    shelve: 'rectified-acknowledged',
    unshelve: 'rectified-acknowledged',
    age: 'normal',
  },
};

const seenAs: Readonly<Record<Exclude<LifeState, 'normal'>, AlertState>> = {
  unacknowledged: 'unacknowledged',
  acknowledged: 'acknowledged',
  shelved: 'acknowledged',
  'rectified-unacknowledged': 'rectified',
  'rectified-acknowledged': 'rectified',
};

/** What a person sees of a state of its life. */
export const alertStateOf = (life: Exclude<LifeState, 'normal'>): AlertState => seenAs[life];

export const nextLifeState = (state: LifeState, event: LifeEvent): LifeState => table[state][event];
