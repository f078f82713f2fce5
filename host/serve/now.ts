import type { AlertRow, EngineCard, ProbeCard, Quality, ReadingCounts } from '../../node/index.js';
import type { NodeNow } from '../live/live-source.js';
import type { Recent } from '../live/recent.js';
import { riseCPerS, roomOf } from '../live/room.js';
import type { Scale } from '../wording/degrees.js';
import { mergedEngines } from '../wording/engine-names.js';

export type ProbeNow = ProbeCard & {
  readonly node: string;
  /** Wall milliseconds of the reading by its node's clock; absent before the first. */
  readonly at?: number;
  readonly temperatureC?: number;
  readonly pressureKpa?: number;
  readonly speedRpm?: number;
  /** `no-contact` is the page's own word: it has lost contact with the host. */
  readonly quality: Quality | 'no-reading' | 'no-contact';
  readonly uncertaintyC?: number;
  readonly certificate?: string;
  readonly roomC?: number;
  readonly roomS?: number;
  readonly roomTo?: 'warning' | 'alarm';
  readonly riseCPerS?: number;
};

export type EngineNow = EngineCard & {
  /** The nodes that have a probe or an input of it. */
  readonly nodes: readonly string[];
  /** By its running input; absent where none is wired, none is known yet, or its node is not connected. */
  readonly running?: boolean;
};

export type AlertNow = AlertRow & { readonly node: string };

export type NodeState = Pick<
  NodeNow,
  'node' | 'connected' | 'lastHeardAt' | 'boat' | 'invented' | 'sequenceGaps'
> & {
  readonly board?: 'connected' | 'connecting' | 'lost';
  readonly boardDetail?: string;
  readonly running?: Readonly<Record<string, boolean>>;
  readonly framesLost?: number;
  readonly boardRefused?: number;
  readonly boardReconnects?: number;
  /** What became of each probe's readings since the node's start. */
  readonly readings?: Readonly<Record<string, ReadingCounts>>;
};

/** Everything the first screen shows, in one document. */
export type Now = {
  readonly at: number;
  /** What the owner chose to read; a browser may choose otherwise. Degrees here are Celsius all the same. */
  readonly degrees: Scale;
  /** In the order of the kit, which is the order on every screen. */
  readonly engines: readonly EngineNow[];
  readonly probes: readonly ProbeNow[];
  readonly alerts: readonly AlertNow[];
  readonly nodes: readonly NodeState[];
  /** The node whose kit Set-up and Calibrate work on; absent where this host has no kit that can be read. */
  readonly kitNode?: string;
};

/** A reading older than this is history, not news; the page shows it as stale. */
const staleAfterMs = 8_000;
const byPriority = { alarm: 0, warning: 1, caution: 2 } as const;

/** Builds the document from what the host knows at `atMs` (wall). Pure; no reading is invented or carried forward as good. */
export const nowDocument = (
  nodes: readonly NodeNow[],
  recent: Recent,
  atMs: number,
  degrees: Scale = 'celsius',
): Now => ({
  at: atMs,
  degrees,
  engines: mergedEngines(nodes.map(({ engines }) => engines)).map((card) => engineNow(nodes, card)),
  probes: nodes.flatMap((node) => node.probes.map((card) => probeNow(node, card, recent))),
  alerts: worstFirst(nodes),
  nodes: nodes.map(nodeState),
});

const engineNow = (nodes: readonly NodeNow[], card: EngineCard): EngineNow => {
  const its = nodes.filter(({ engines }) => engines.some(({ id }) => id === card.id));
  const running = its
    .filter(({ connected }) => connected)
    .map(({ status }) => status?.running[card.id])
    .find((known) => known !== undefined);
  return { ...card, nodes: its.map(({ node }) => node), ...(running !== undefined && { running }) };
};

/** What asks for most comes first: priority, then active before ended, then how far past its limit, then the longest. */
const worstFirst = (nodes: readonly NodeNow[]): readonly AlertNow[] => {
  const aboveC = ({ node, probe }: AlertNow): number => {
    const from = nodes.find((other) => other.node === node);
    const limitC = from?.probes.find(({ id }) => id === probe)?.limits.alarm?.raiseAtC;
    const temperatureC = from?.latest.find((row) => row.probe === probe)?.temperatureC;
    return temperatureC === undefined || limitC === undefined ? 0 : temperatureC - limitC;
  };
  const ended = (alert: AlertNow) => (alert.state === 'rectified' ? 1 : 0);
  return nodes
    .flatMap((node) => node.alerts.map((alert): AlertNow => ({ ...alert, node: node.node })))
    .sort(
      (a, b) =>
        byPriority[a.priority] - byPriority[b.priority] ||
        ended(a) - ended(b) ||
        aboveC(b) - aboveC(a) ||
        a.since - b.since,
    );
};

/** Finer digits would change every second and say nothing. */
const rounded = (value: number, perUnit: number): number => Math.round(value * perUnit) / perUnit;

const probeNow = (node: NodeNow, card: ProbeCard, recent: Recent): ProbeNow => {
  const row = node.latest.find((r) => r.probe === card.id);
  const base = { ...card, node: node.node };
  if (!row) return { ...base, quality: 'no-reading' };
  // By when it was made and received, never by two clocks: a small computer's may be years behind.
  const stale = !node.connected || (node.ageMs[card.id] ?? Number.POSITIVE_INFINITY) > staleAfterMs;
  const quality = stale && row.quality === 'good' ? ('stale' as const) : row.quality;
  const read = { ...base, at: row.at, quality };
  if (row.temperatureC === undefined)
    return {
      ...read,
      ...(row.pressureKpa !== undefined && { pressureKpa: row.pressureKpa }),
      ...(row.speedRpm !== undefined && { speedRpm: row.speedRpm }),
      ...(row.certificate !== undefined && { certificate: row.certificate }),
    };
  const measured = {
    ...read,
    temperatureC: row.temperatureC,
    ...(row.uncertaintyC !== undefined && { uncertaintyC: row.uncertaintyC }),
    ...(row.certificate !== undefined && { certificate: row.certificate }),
  };
  // Room from an old temperature would be false.
  if (quality !== 'good') return measured;
  const rise = riseCPerS(recent.of(node.node, card.id), row.at);
  const room = roomOf(card, row.temperatureC, rise);
  return {
    ...measured,
    ...(rise !== undefined && { riseCPerS: rounded(rise, 1_000) }),
    ...(room && {
      roomC: rounded(room.roomC, 100),
      roomTo: room.to,
      ...(room.roomS !== undefined && { roomS: Math.round(room.roomS) }),
    }),
  };
};

const nodeState = ({ status, ...node }: NodeNow): NodeState => ({
  node: node.node,
  connected: node.connected,
  invented: node.invented,
  sequenceGaps: node.sequenceGaps,
  ...(node.lastHeardAt !== undefined && { lastHeardAt: node.lastHeardAt }),
  ...(node.boat !== undefined && { boat: node.boat }),
  ...(status && {
    board: status.board,
    boardDetail: status.boardDetail,
    running: status.running,
    framesLost: status.counters.framesLost,
    boardRefused: status.counters.boardRefused,
    boardReconnects: status.counters.boardReconnects,
    ...(status.counters.readings && { readings: status.counters.readings }),
  }),
});
