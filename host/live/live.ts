import type { AlertCommand, Clock, NodeMessage, ReadingRow } from '../../node/index.js';
import type { Store } from '../store/index.js';
import { HostAlerts, hostNode } from './host-alerts.js';
import type { Delivery, LiveSource, NodeNow } from './live-source.js';
import { ReadingAge } from './reading-age.js';

export type CommandAnswer = { readonly ok: boolean; readonly detail: string };
/** What a node may be asked to do. */
export type Order =
  | { readonly type: 'command'; readonly command: AlertCommand }
  | { readonly type: 'test-sound'; readonly forS: number };
export type Commander = (order: Order) => Promise<CommandAnswer>;

/** What is known of one node at this moment, and the way to send to it while it is connected. */
type Shown = Omit<NodeNow, 'node' | 'latest' | 'ageMs'>;
type NodeState = { -readonly [Field in keyof Shown]: Shown[Field] } & {
  latest: Map<string, ReadingRow>;
  /** When each of them was made, on our steady clock; not known of all that a node had kept. */
  madeAtMs: Map<string, number>;
  readonly age: ReadingAge;
  commander?: Commander;
};

/** Of a node that has sent nothing yet. */
const nothingKnown = {
  connected: false,
  invented: false,
  engines: [],
  probes: [],
  alerts: [],
  sequenceGaps: 0,
} as const;

/** The present, as the page and the outputs see it. A message is here the moment it arrives, stored or not. */
export class Live implements LiveSource {
  /** Faults of the host itself: appear among the nodes while active. */
  readonly own: HostAlerts;
  private readonly states = new Map<string, NodeState>();
  private readonly listeners = new Set<(node: string, message: NodeMessage, delivery: Delivery) => void>();
  private readonly changeListeners = new Set<() => void>();
  private readonly failing = new Set<object>();
  private readonly clock: Clock;

  constructor(clock: Clock) {
    this.clock = clock;
    this.own = new HostAlerts(clock, () => this.changed());
  }

  /** Shows what was known when the host last ran, as not connected. */
  recall(store: Store): void {
    for (const { node, boat, invented } of store.nodes()) {
      const state = this.stateOf(node);
      Object.assign(state, { boat, invented, engines: store.enginesOf(node) });
      state.probes = store.probes().flatMap((p) => (p.node === node && p.card ? [p.card] : []));
      state.alerts = store.activeAlerts(node);
    }
    for (const { node, row } of store.lastReadings()) this.stateOf(node).latest.set(row.probe, row);
  }

  nodes(): readonly NodeNow[] {
    const nowMs = this.clock.monotonicMs();
    const nodes = [...this.states].map(([node, { commander: _, age: __, latest, madeAtMs, ...state }]) => ({
      node,
      ...state,
      latest: [...latest.values()],
      ageMs: Object.fromEntries([...madeAtMs].map(([probe, atMs]) => [probe, nowMs - atMs])),
    }));
    return this.own.alerts().length > 0 ? [...nodes, this.ownNode()] : nodes;
  }

  on(listener: (node: string, message: NodeMessage, delivery: Delivery) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  onChange(listener: () => void): () => void {
    this.changeListeners.add(listener);
    return () => this.changeListeners.delete(listener);
  }

  async command(node: string, command: AlertCommand): Promise<CommandAnswer> {
    return node === hostNode ? this.own.command(command) : this.order(node, { type: 'command', command });
  }

  testSound(node: string, forS: number): Promise<CommandAnswer> {
    return this.order(node, { type: 'test-sound', forS });
  }

  private async order(node: string, order: Order): Promise<CommandAnswer> {
    const commander = this.states.get(node)?.commander;
    return commander ? commander(order) : { ok: false, detail: `${node} is not connected.` };
  }

  connected(node: string, commander: Commander): void {
    const state = this.stateOf(node);
    state.connected = true;
    state.commander = commander;
    state.lastHeardAt = this.clock.wallMs();
    this.changed();
  }

  /** Only the connection that is the node's present one can end it. */
  disconnected(node: string, commander: Commander): void {
    const state = this.stateOf(node);
    if (state.commander !== commander) return;
    state.connected = false;
    delete state.commander;
    this.changed();
  }

  missed(node: string, frames: number): void {
    this.stateOf(node).sequenceGaps += frames;
  }

  message(node: string, message: NodeMessage, delivery: Delivery): void {
    const state = this.stateOf(node);
    state.lastHeardAt = this.clock.wallMs();
    if (message.kind === 'hello') {
      const { boat, invented, engines, probes } = message;
      Object.assign(state, { boat, invented, engines, probes });
      const known = new Set(probes.map((p) => p.id));
      for (const id of state.latest.keys()) if (!known.has(id)) state.latest.delete(id);
    } else if (message.kind === 'readings') {
      if (message.rate === 'second') this.noteReadings(state, message.rows, delivery);
    } else if (message.kind === 'alerts') state.alerts = message.alerts;
    else state.status = message;
    for (const listener of this.listeners) this.alone(listener, () => listener(node, message, delivery));
  }

  private noteReadings(state: NodeState, rows: readonly ReadingRow[], delivery: Delivery): void {
    const { boot, clockSteppedMs, kept } = delivery;
    const receivedMs = this.clock.monotonicMs();
    for (const row of rows) {
      state.latest.set(row.probe, row);
      const madeAtMs = state.age.madeAtMs({ boot, nodeAtMs: row.at - clockSteppedMs, kept }, receivedMs);
      if (madeAtMs === undefined) state.madeAtMs.delete(row.probe);
      else state.madeAtMs.set(row.probe, madeAtMs);
    }
  }

  private ownNode(): NodeNow {
    return {
      ...nothingKnown,
      node: hostNode,
      connected: true,
      lastHeardAt: this.clock.wallMs(),
      latest: [],
      ageMs: {},
      alerts: this.own.alerts(),
    };
  }

  private stateOf(node: string): NodeState {
    const known = this.states.get(node);
    if (known) return known;
    const fresh: NodeState = {
      ...nothingKnown,
      latest: new Map(),
      madeAtMs: new Map(),
      age: new ReadingAge(),
    };
    this.states.set(node, fresh);
    return fresh;
  }

  /** One output that fails must not keep the message from the others, or end the host. */
  private alone(part: object, run: () => void): void {
    const id = 'host-part:failed';
    try {
      run();
      if (this.failing.delete(part) && this.failing.size === 0) this.own.clear(id);
    } catch (error) {
      this.failing.add(part);
      this.own.raise({
        id,
        rule: 'host-part-failed',
        priority: 'caution',
        message: `A part of this host failed: ${(error as Error).message}. What else it does continues.`,
        actions: ['The node and its buzzer work all the same.', 'Restart the host, and report this message.'],
      });
    }
  }

  private changed(): void {
    for (const listener of this.changeListeners) this.alone(listener, listener);
  }
}
