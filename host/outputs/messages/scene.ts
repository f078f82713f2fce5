import type { AlertRow, ReadingRow } from '../../../node/index.js';
import type { NodeNow } from '../../live/live-source.js';
import type { Scene } from './compose.js';
import type { ProbeNow } from './message.js';

/** Coldest and hottest of every probe since the last sign of life; a doubtful reading does not count. */
export class Extremes {
  readonly #spans = new Map<string, { minC: number; maxC: number }>();

  take(node: string, rows: readonly ReadingRow[]): void {
    for (const { probe, temperatureC, quality } of rows) {
      if (temperatureC === undefined || quality !== 'good') continue;
      const key = `${node} ${probe}`;
      const span = this.#spans.get(key);
      this.#spans.set(key, {
        minC: Math.min(span?.minC ?? temperatureC, temperatureC),
        maxC: Math.max(span?.maxC ?? temperatureC, temperatureC),
      });
    }
  }

  of(node: string, probe: string): { readonly minC: number; readonly maxC: number } | undefined {
    return this.#spans.get(`${node} ${probe}`);
  }

  startAgain(): void {
    this.#spans.clear();
  }
}

/** Older than this a temperature is not "now". */
const staleMs = 10_000;

/** The value alone, under its own name. */
const measured = ({ temperatureC, pressureKpa, speedRpm }: ReadingRow) => ({
  ...(temperatureC !== undefined && { temperatureC }),
  ...(pressureKpa !== undefined && { pressureKpa }),
  ...(speedRpm !== undefined && { speedRpm }),
});

const probeNow = (node: NodeNow, probe: NodeNow['probes'][number], extremes: Extremes): ProbeNow => {
  const row = node.latest.find((reading) => reading.probe === probe.id);
  const fresh =
    row !== undefined && node.connected && (node.ageMs[probe.id] ?? Number.POSITIVE_INFINITY) <= staleMs;
  return {
    node: node.node,
    probe: probe.id,
    name: probe.name,
    quality: row === undefined ? 'no-answer' : fresh ? row.quality : 'stale',
    ...(row === undefined ? {} : { at: row.at }),
    ...(fresh && row.quality === 'good' && measured(row)),
    ...extremes.of(node.node, probe.id),
  };
};

/** All that a message says about the present. */
export const sceneOf = (
  nodes: readonly NodeNow[],
  extremes: Extremes,
  rest: Pick<Scene, 'nowMs' | 'degrees' | 'givenUp'>,
): Scene => ({
  boat: nodes.find((n) => n.boat !== undefined)?.boat ?? 'The boat',
  invented: nodes.some((n) => n.invented),
  active: nodes.flatMap((n): readonly AlertRow[] => n.alerts.filter((a) => a.state !== 'rectified')),
  readings: nodes.flatMap((n) => n.probes.map((p) => probeNow(n, p, extremes))),
  ...rest,
});
