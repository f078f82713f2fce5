import { expect } from 'vitest';
import { exportReadings } from '../../../host/exchange/index.js';
import type { Store } from '../../../host/store/index.js';
import type { TimeSeriesServer } from './time-series-server.js';

const fields = ['temperatureC', 'raw', 'coldJunctionC', 'uncertaintyC'] as const;

/** What the server exports, by series and moment. */
const heldBy = async (server: TimeSeriesServer, boat: string): Promise<ReadonlyMap<string, number>> => {
  await server.flush();
  const held = new Map<string, number>();
  for (const { metric, values, timestamps } of await server.export(`{boat="${boat}"}`)) {
    const { __name__: name = '', channel, rate, quality, rawUnit = '', certificate = '', node = '' } = metric;
    const tags = [channel, rate, quality, rawUnit, certificate, node].join('|');
    timestamps.forEach((at, i) => {
      held.set(`${name}|${tags}|${at}`, values[i] as number);
    });
  }
  return held;
};

const inStore = (store: Store): ReadonlyMap<string, number> => {
  const kept = new Map<string, number>();
  for (const { node = '', rate, reading } of exportReadings(store, store.allSeries(), {
    from: 0,
    to: 9e15,
  })) {
    const { probe, quality, rawUnit = '', certificate = '', at } = reading;
    const tags = [probe, rate, quality, rawUnit, certificate, node].join('|');
    kept.set(`reading_good|${tags}|${at}`, quality === 'good' ? 1 : 0);
    for (const field of fields)
      if (reading[field] !== undefined) kept.set(`reading_${field}|${tags}|${at}`, reading[field]);
  }
  return kept;
};

/** A busy server takes a while to show all it has taken. */
const shownWithinMs = 30_000;

/** Compares every value of every reading with what the server exports, both ways. Gives the number of points compared. */
export const expectServerHoldsTheStore = async (
  server: TimeSeriesServer,
  store: Store,
  boat: string,
): Promise<number> => {
  const kept = inStore(store);
  let held = await heldBy(server, boat);
  for (const end = performance.now() + shownWithinMs; held.size < kept.size && performance.now() < end; )
    held = await heldBy(server, boat);
  let wrong: string | undefined;
  for (const [key, value] of kept)
    if (held.get(key) !== value) wrong ??= `${key}: the server has ${held.get(key)}, the store ${value}`;
  expect({ wrong, points: held.size }).toEqual({ wrong: undefined, points: kept.size });
  return kept.size;
};
