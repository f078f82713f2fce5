import { firstActions, instructionOf } from '../../../node/alerts/actions.js';
import type { Condition } from '../../../node/alerts/condition.js';
import { firstEngineCards } from '../../../node/index.js';
import { LinkServer } from '../../../node/link/link-server.js';
import type { AlertRow, NodeMessage, ProbeCard, ReadingRow } from '../../../node/link/messages.js';
import { secretFile } from '../../../node/link/secret-file.js';

const elbowLimits = {
  warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 },
  alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 },
};
const card = (
  id: string,
  name: string,
  engine: ProbeCard['engine'],
  place: string,
  limits: ProbeCard['limits'] = {},
): ProbeCard => ({ id, name, engine, place, mounting: 'well', limits });

/** An invented boat: the probes of the bench kit. */
export const probes: readonly ProbeCard[] = [
  card('port-elbow', 'Port wet elbow', 'port', 'wet-elbow', elbowLimits),
  card('starboard-elbow', 'Starboard wet elbow', 'starboard', 'wet-elbow', elbowLimits),
  card('sea-water', 'Sea water', 'all', 'sea-water'),
  card('engine-room', 'Engine-room air', 'all', 'engine-room'),
  card('port-exhaust', 'Port exhaust gas', 'port', 'dry-exhaust', {
    warning: { raiseAtC: 480, clearAtC: 460, holdS: 10 },
  }),
  card('starboard-exhaust', 'Starboard exhaust gas', 'starboard', 'dry-exhaust'),
];

const cruising: Readonly<Record<string, number>> = {
  'port-elbow': 41.3,
  'starboard-elbow': 42.1,
  'sea-water': 16.4,
  'engine-room': 38.5,
  'port-exhaust': 338,
  'starboard-exhaust': 344,
};

/** What the scripted node calls itself. */
export const nodeName = 'engine-room';

/** The link of a node and a script in place of board and guard, so that a page can be put into any state at once. */
export class ScriptedNode {
  readonly commands: { do: string; alertId: string }[] = [];
  soundTests = 0;
  temperatures: Record<string, number> = { ...cruising };
  missing: Record<string, ReadingRow['quality']> = {};
  /** What is beneath a temperature; only a calibration asks for it. */
  raws: Record<string, Pick<ReadingRow, 'raw' | 'rawUnit'>> = {};
  running = { port: true, starboard: true };
  /** By how much its clock was put right so far. */
  clockSteppedMs = 0;
  alerts: AlertRow[] = [];
  port = 0;
  private readonly link: LinkServer;
  private ticking: NodeJS.Timeout | undefined;

  constructor(secretPath?: string) {
    this.link = new LinkServer({
      node: nodeName,
      boot: `boot-${process.pid}-${performance.now()}`,
      ringBytes: 16 * 1024 * 1024,
      ...(secretPath !== undefined && { secret: secretFile(secretPath, { onTrouble: () => {} }) }),
      clockSteppedMs: () => this.clockSteppedMs,
      onCommand: async ({ do: doing, alertId }) => this.applyCommand(doing, alertId),
      onTestSound: () => {
        this.soundTests += 1;
        return { ok: true, detail: '' };
      },
      onListener: () => this.introduce(),
    });
  }

  async start(): Promise<this> {
    this.port = await this.link.listen('127.0.0.1:0');
    this.ticking = setInterval(() => this.tick(), 500);
    return this;
  }

  /** Silent as a crashed node is: the connection ends, too. */
  async stop(): Promise<void> {
    clearInterval(this.ticking);
    await this.link.close();
  }

  publish(message: NodeMessage): void {
    this.link.publish(message);
  }

  raise(alert: Partial<AlertRow> & Pick<AlertRow, 'id' | 'priority'>): void {
    // What the guard itself says when cooling is lost.
    const condition: Condition = {
      situation: 'cooling',
      subject: alert.engine ?? 'starboard',
      rule: 'high-limit',
      engine: alert.engine ?? 'starboard',
      message: '',
      evidence: { values: {}, thresholds: {} },
      priority: alert.priority,
    };
    const raised: AlertRow = {
      rule: 'high-limit',
      state: 'unacknowledged',
      engine: 'starboard',
      probe: 'starboard-elbow',
      since: Date.now(),
      message: 'Starboard wet elbow is at 76.2 C, its alarm limit is 75 C.',
      evidence: { values: { temperatureC: 76.2, riseCPerS: 0.9 }, thresholds: { raiseAtC: 75 } },
      instruction: instructionOf(condition),
      actions: firstActions(condition),
      ...alert,
    };
    this.alerts = [...this.alerts.filter(({ id }) => id !== alert.id), raised];
    this.reportAlerts();
  }

  rectify(id: string): void {
    this.alerts = this.alerts.map((a) =>
      a.id === id ? { ...a, state: 'rectified', rectifiedAt: Date.now() } : a,
    );
    this.reportAlerts();
  }

  clear(): void {
    this.alerts = [];
    this.reportAlerts();
  }

  rows(at: number): ReadingRow[] {
    return probes.map(({ id }) => {
      const quality = this.missing[id];
      if (quality) return { probe: id, at, quality };
      const temperatureC = (this.temperatures[id] ?? 0) + 0.05 * Math.sin(at / 900);
      return { probe: id, at, temperatureC, uncertaintyC: 0.3, quality: 'good', ...this.raws[id] };
    });
  }

  private applyCommand(doing: string, alertId: string) {
    this.commands.push({ do: doing, alertId });
    if (doing === 'acknowledge')
      this.alerts = this.alerts.flatMap((a) =>
        a.id !== alertId ? [a] : a.state === 'rectified' ? [] : [{ ...a, state: 'acknowledged' as const }],
      );
    if (doing === 'silence')
      this.alerts = this.alerts.map((a) =>
        a.id === alertId ? { ...a, silencedUntil: Date.now() + 30_000 } : a,
      );
    this.reportAlerts();
    return { ok: true, detail: '' };
  }

  private introduce(): void {
    this.publish({ kind: 'hello', boat: 'Marsh Harrier', invented: true, engines: firstEngineCards, probes });
    this.reportAlerts();
    this.reportStatus();
  }

  private tick(): void {
    this.publish({ kind: 'readings', rate: 'second', rows: this.rows(Date.now() + this.clockSteppedMs) });
    this.reportStatus();
  }

  private reportAlerts(): void {
    this.publish({ kind: 'alerts', at: Date.now(), alerts: this.alerts });
  }

  private reportStatus(): void {
    this.publish({
      kind: 'status',
      at: Date.now(),
      board: 'connected',
      boardDetail: 'invented',
      running: this.running,
      counters: {
        framesLost: 0,
        boardRefused: 0,
        boardReconnects: 0,
        passes: 1,
        readings: { 'starboard-exhaust': { good: 7012, doubtful: 34, missing: 5 } },
      },
    });
  }
}
