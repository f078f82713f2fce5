import type { Store } from '../../../host/store/index.js';
import type { NodeMessage, NumberedMessage, ProbeCard, ReadingRow } from '../../../node/link/messages.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../../node/time/clock.js';

/** 2026-05-01T08:00:00Z: invented days on an invented boat. */
export const startAt = Date.UTC(2026, 4, 1, 8);

export const movableClock = (at = startAt) => {
  let now = 0;
  const clock: Clock = { monotonicMs: () => asMonotonicMs(now), wallMs: () => asWallMs(at + now) };
  return {
    clock,
    advance: (ms: number) => {
      now += ms;
    },
  };
};

export const card = (id: string, engine: ProbeCard['engine'] = 'port', place = 'wet-elbow'): ProbeCard => ({
  id,
  name: `Probe ${id}`,
  engine,
  place,
  mounting: 'strap-on',
  limits: { alarm: { raiseAtC: 93, clearAtC: 88, holdS: 1 } },
});

/** A thermistor reading whose temperature wanders with its time. */
export const reading = (probe: string, at: number, more: Partial<ReadingRow> = {}): ReadingRow => ({
  probe,
  at,
  temperatureC: Math.round((60 + 8 * Math.sin(at / 90_000)) * 1000) / 1000,
  uncertaintyC: 0.21,
  raw: Math.round((2500 + 300 * Math.cos(at / 90_000)) * 100) / 100,
  rawUnit: 'ohm',
  quality: 'good',
  ...more,
});

/** Messages of one node and boot, numbered as a node numbers them. */
export const numbering = (node = 'engine-room', boot = 'boot-1') => {
  let seq = 0;
  return (message: NodeMessage): NumberedMessage => ({ node, boot, seq: ++seq, message });
};

/** Stores the rows of each probe, a row a second or fewer. */
export const storeRows = (store: Store, rows: Readonly<Record<string, readonly ReadingRow[]>>) =>
  store.bulk.rows(
    Object.entries(rows).map(([name, of]) => ({
      name,
      node: 'engine-room',
      rate: 'second' as const,
      rows: of,
    })),
  );
