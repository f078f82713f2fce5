import { describe, expect, it } from 'vitest';
import {
  type LifeEvent,
  type LifeState,
  lifeEvents,
  lifeStates,
  nextLifeState,
} from '../../../node/alerts/life-cycle.js';

/**
 * The table said again, to be read aloud: state, event, next state, and the clause (where these come from: DEVELOPERS.md,
 * Sources). N normal, U unacknowledged,
 * A acknowledged, S shelved, RU and RA rectified before and after somebody acknowledged.
 */
const said: readonly (readonly [LifeState, Readonly<Record<LifeEvent, LifeState>>, string])[] = [
  [
    'normal',
    {
      occur: 'unacknowledged',
      worsen: 'unacknowledged',
      rectify: 'normal',
      acknowledge: 'normal',
      silence: 'normal',
      shelve: 'normal',
      unshelve: 'normal',
      age: 'normal',
    },
    'MSC.302(87) 7.3.1: an alert begins unacknowledged; what is not active cannot be touched',
  ],
  [
    'unacknowledged',
    {
      occur: 'unacknowledged',
      worsen: 'unacknowledged',
      rectify: 'rectified-unacknowledged',
      acknowledge: 'acknowledged',
      silence: 'unacknowledged',
      shelve: 'shelved',
      unshelve: 'unacknowledged',
      age: 'unacknowledged',
    },
    'MSC.302(87) 7.3.5 silence does not acknowledge; 7.3.7 sight stays until acknowledged, also when rectified',
  ],
  [
    'acknowledged',
    {
      occur: 'acknowledged',
      worsen: 'unacknowledged',
      rectify: 'rectified-acknowledged',
      acknowledge: 'acknowledged',
      silence: 'acknowledged',
      shelve: 'shelved',
      unshelve: 'acknowledged',
      age: 'acknowledged',
    },
    'MSC.252(83) 20.2.7, 20.2.8: steady until rectified; what becomes more severe is reported again (common practice, no source)',
  ],
  [
    'shelved',
    {
      occur: 'shelved',
      worsen: 'unacknowledged',
      rectify: 'rectified-acknowledged',
      acknowledge: 'shelved',
      silence: 'shelved',
      shelve: 'shelved',
      unshelve: 'unacknowledged',
      age: 'shelved',
    },
    'common practice, no source: the shelf ends by time or by hand, and never hides what became more severe',
  ],
  [
    'rectified-unacknowledged',
    {
      occur: 'unacknowledged',
      worsen: 'unacknowledged',
      rectify: 'rectified-unacknowledged',
      acknowledge: 'rectified-acknowledged',
      silence: 'rectified-unacknowledged',
      shelve: 'rectified-unacknowledged',
      unshelve: 'rectified-unacknowledged',
      age: 'rectified-unacknowledged',
    },
    'A.1021(26), MODU Code 8.7: kept until accepted',
  ],
  [
    'rectified-acknowledged',
    {
      occur: 'unacknowledged',
      worsen: 'unacknowledged',
      rectify: 'rectified-acknowledged',
      acknowledge: 'rectified-acknowledged',
      silence: 'rectified-acknowledged',
      shelve: 'rectified-acknowledged',
      unshelve: 'rectified-acknowledged',
      age: 'normal',
    },
    'A.1021(26), MODU Code 8.7: shown until corrected, then reset by itself',
  ],
];

describe('life of an alert', () => {
  it('the table here names all 6 states and 8 events', () => {
    expect(said.map(([state]) => state)).toEqual([...lifeStates]);
    for (const [, row] of said) expect(Object.keys(row).sort()).toEqual([...lifeEvents].sort());
  });

  for (const [state, row, clause] of said)
    for (const event of lifeEvents)
      it(`${state} + ${event} is ${row[event]} (${clause})`, () => {
        expect(nextLifeState(state, event)).toBe(row[event]);
      });
});
