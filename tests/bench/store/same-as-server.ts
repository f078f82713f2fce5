import { expect } from 'vitest';
import { exportReadings } from '../../../host/exchange/index.js';
import type { Store } from '../../../host/store/index.js';
import type { TimeSeriesServer } from './time-series-server.js';

const fields = ['temperatureC', 'raw', 'coldJunctionC', 'uncertaintyC'] as const;

/** Compares every value of every reading with what the server exports, both ways. Gives the number of points compared. */
export const expectServerHoldsTheStore = async (
  server: TimeSeriesServer,
  store: Store,
  boat: string,
): Promise<number> => {
  await server.flush();
  const held = new Map<string, number>();
  for (const { metric, values, timestamps } of await server.export(`{boat="${boat}"}`)) {
    const { __name__: name = '', channel, rate, quality, rawUnit = '', certificate = '', node = '' } = metric;
    const tags = [channel, rate, quality, rawUnit, certificate, node].join('|');
    timestamps.forEach((at, i) => {
      held.set(`${name}|${tags}|${at}`, values[i] as number);
    });
  }
  let points = 0;
  let wrong: string | undefined;
  for (const { node = '', rate, reading } of exportReadings(store, store.allSeries(), {
    from: 0,
    to: 9e15,
  })) {
    const { probe, quality, rawUnit = '', certificate = '', at } = reading;
    const tags = [probe, rate, quality, rawUnit, certificate, node].join('|');
    const expected: [string, number][] = [['good', quality === 'good' ? 1 : 0]];
    for (const field of fields) if (reading[field] !== undefined) expected.push([field, reading[field]]);
    for (const [field, value] of expected) {
      points++;
      const key = `reading_${field}|${tags}|${at}`;
      if (held.get(key) !== value) wrong ??= `${key}: the server has ${held.get(key)}, the store ${value}`;
    }
  }
  expect({ wrong, points: held.size }).toEqual({ wrong: undefined, points });
  return points;
};
