import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { freePort } from '../../../host/supervise/free-port.js';
import { type RunningCommand, startCommand, until } from './running-command.js';

type Truth = {
  emulatedS: number;
  probes: Record<string, { temperatureC: number }>;
  pins: { buzzer: boolean; lamp: boolean; heartbeatEdges: number; missingPulseSounding: boolean };
  missingPulseSoundsFromS: number;
};

export type NowProbe = {
  id: string;
  engine: string;
  place: string;
  temperatureC: number | null;
  quality: string;
  roomC: number | null;
};
export type NowAlert = {
  id: string;
  priority: string;
  state: string;
  rule: string;
  message: string;
  actions: string[];
  probe?: string;
  engine?: string;
  since: number;
};
export type Now = {
  at: number;
  probes: NowProbe[];
  alerts: NowAlert[];
  engines: { id: string; name: string; kind: string; running?: boolean }[];
  nodes: { node: string; connected: boolean; invented: boolean }[];
};

const getJson = async <T>(url: string): Promise<T> => (await fetch(url)).json() as Promise<T>;

/** The whole house in separate processes, so that a test can kill one and watch the others. */
export class BenchHouse {
  readonly dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-'));
  readonly #commands = new Map<string, RunningCommand>();
  readonly #ports: { board: number; control: number; link: number; page: number };

  private constructor(ports: { board: number; control: number; link: number; page: number }) {
    this.#ports = ports;
  }

  /** On the kit of the bench, or on another one. */
  static async open(kitYaml?: string): Promise<BenchHouse> {
    const [board, control, link, page] = await Promise.all([freePort(), freePort(), freePort(), freePort()]);
    const house = new BenchHouse({ board, control, link, page });
    if (kitYaml !== undefined) writeFileSync(house.kit, kitYaml);
    house.startBoard();
    await until('the bench to answer', () => house.truth());
    house.startNode();
    house.startHost();
    return house;
  }

  /** Where the node's link is. */
  get link(): string {
    return `127.0.0.1:${this.#ports.link}`;
  }
  get pageUrl(): string {
    return `http://127.0.0.1:${this.#ports.page}`;
  }
  get kit(): string {
    return join(this.dataDir, 'kit.yaml');
  }

  startBoard(): void {
    const { board, control } = this.#ports;
    this.#start(
      'board',
      'bench-board',
      '--kit',
      this.kit,
      '--board-port',
      `${board}`,
      '--control-port',
      `${control}`,
    );
  }
  startNode(): void {
    const { board, link } = this.#ports;
    const where = ['--board', `tcp://127.0.0.1:${board}`, '--link', `127.0.0.1:${link}`];
    const data = ['--data-dir', join(this.dataDir, 'node'), '--invented'];
    this.#start('node', 'node', '--kit', this.kit, ...where, ...data);
  }
  startHost(): void {
    const { link, page } = this.#ports;
    const where = ['--node', `127.0.0.1:${link}`, '--page-port', `${page}`];
    this.#start('host', 'host', ...where, '--data-dir', join(this.dataDir, 'host'));
  }
  #start(name: string, ...args: string[]): void {
    this.#commands.set(name, startCommand(...args));
  }

  async kill(name: 'board' | 'node' | 'host', signal: NodeJS.Signals = 'SIGKILL'): Promise<void> {
    await this.#commands.get(name)?.kill(signal);
  }

  async act(order: Record<string, unknown>): Promise<void> {
    const answer = await fetch(`http://127.0.0.1:${this.#ports.control}/do`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(order),
    });
    if (!answer.ok) throw new Error(`${JSON.stringify(order)}: ${await answer.text()}`);
  }
  truth(): Promise<Truth> {
    return getJson(`http://127.0.0.1:${this.#ports.control}/truth`);
  }
  now(): Promise<Now> {
    return getJson(`${this.pageUrl}/api/now`);
  }

  /** Every probe has a temperature that the page's interface calls good. */
  async untilLive(): Promise<Now> {
    return until('live readings of every probe', async () => {
      const now = await this.now();
      return now.probes.length > 0 && now.probes.every((p) => p.quality === 'good') && now;
    });
  }

  /** What every process said, for the message of a failed test. */
  said(): string {
    return [...this.#commands].map(([name, command]) => `--- ${name}\n${command.said()}`).join('\n');
  }

  async close(): Promise<void> {
    await Promise.all([...this.#commands.values()].map((command) => command.kill('SIGKILL')));
    rmSync(this.dataDir, { recursive: true, force: true });
  }
}
