import type { Delivery, LiveSource, NodeNow } from '../../../host/live/live-source.js';
import type { AlertRow, NodeMessage } from '../../../node/index.js';

/** A boat whose present a test writes by hand. */
export class ScriptedLive implements Pick<LiveSource, 'nodes' | 'on' | 'onChange'> {
  now: NodeNow;
  private readonly listeners = new Set<(node: string, message: NodeMessage, delivery: Delivery) => void>();
  private readonly changes = new Set<() => void>();

  constructor(at: number) {
    this.now = {
      node: 'engine-room',
      connected: true,
      boat: 'Invented',
      invented: true,
      engines: [],
      probes: [],
      latest: [
        { probe: 'port-elbow', at, temperatureC: 41.25, uncertaintyC: 0.2, quality: 'good' },
        { probe: 'sea-water', at, quality: 'open' },
      ],
      ageMs: { 'port-elbow': 300, 'sea-water': 300 },
      alerts: [],
      sequenceGaps: 0,
    };
  }

  nodes = (): readonly NodeNow[] => [this.now];
  on = (listener: (node: string, message: NodeMessage, delivery: Delivery) => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  onChange = (listener: () => void) => {
    this.changes.add(listener);
    return () => this.changes.delete(listener);
  };

  become(change: Partial<NodeNow>): void {
    this.now = { ...this.now, ...change };
    const { node, alerts } = this.now;
    for (const listener of this.listeners)
      listener(node, { kind: 'alerts', at: 0, alerts }, { boot: 'b', clockSteppedMs: 0, kept: false });
    for (const listener of this.changes) listener();
  }
}

export const anAlarm = (since: number): AlertRow =>
  ({
    id: 'cooling:port',
    situation: 'cooling',
    subject: 'port',
    rule: 'high-limit',
    priority: 'alarm',
    state: 'unacknowledged',
    since,
    engine: 'port',
    probe: 'port-elbow',
    message: 'Port wet elbow is at 80.0 C.',
    evidence: { values: {}, thresholds: {} },
    actions: [],
  }) as unknown as AlertRow;
