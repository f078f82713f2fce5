import { isThermometer } from '../../live/is-thermometer.js';
import type { NodeNow } from '../../live/live-source.js';
import type { Measurement } from './xdr.js';

/** Older than this a temperature is no longer "now": the display shows dashes. Readings come once a second. */
const staleMs = 5_000;

/** Tenths of a degree: finer than any probe of the kit is sure of. */
const inTenths = (temperatureC: number) => Math.round(temperatureC * 10) / 10 + 0;

/**
 * Every thermometer of every node as an XDR temperature, in kit order. A probe whose reading is missing, doubtful
 * or older than 5 s goes out with an empty value, never with its last one. Where two nodes name a probe alike the
 * node's name goes before it.
 */
export const temperaturesToSend = (
  nodes: readonly NodeNow[],
  names: Readonly<Record<string, string>>,
): readonly Measurement[] => {
  const uses = new Map<string, number>();
  for (const node of nodes) for (const { id } of node.probes) uses.set(id, (uses.get(id) ?? 0) + 1);
  return nodes.flatMap((node) =>
    node.probes.filter(isThermometer).map(({ id }): Measurement => {
      const row = node.latest.find((reading) => reading.probe === id);
      const fresh =
        row !== undefined &&
        node.connected &&
        (node.ageMs[id] ?? Number.POSITIVE_INFINITY) <= staleMs &&
        row.quality === 'good';
      const name = names[id] ?? id;
      return {
        type: 'C',
        units: 'C',
        id: (uses.get(id) ?? 0) > 1 ? `${node.node}.${name}`.slice(0, 50) : name,
        ...(fresh && row.temperatureC !== undefined ? { value: inTenths(row.temperatureC) } : {}),
      };
    }),
  );
};
