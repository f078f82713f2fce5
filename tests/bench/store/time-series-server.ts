import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { until } from '../house/running-command.js';

/** One metric name and set of tags with its points, as the server exports them. */
export type ServedSeries = {
  readonly metric: Readonly<Record<string, string>>;
  readonly values: number[];
  readonly timestamps: number[];
};

const freePort = async (): Promise<number> => {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, 'close');
  return port;
};

/** The real victoria-metrics of Debian on loopback; it can be stopped, and started again with what it held. */
export class TimeSeriesServer {
  readonly url: string;
  readonly folder = mkdtempSync(join(tmpdir(), 'elbowroom-series-'));
  private child: ChildProcess | undefined;
  private readonly port: number;

  private constructor(port: number) {
    this.port = port;
    this.url = `http://127.0.0.1:${port}`;
  }

  static async reserve(): Promise<TimeSeriesServer> {
    return new TimeSeriesServer(await freePort());
  }

  get pid(): number {
    return this.child?.pid ?? 0;
  }

  async start(): Promise<void> {
    this.child = spawn(
      'victoria-metrics',
      [
        `-storageDataPath=${this.folder}`,
        `-httpListenAddr=127.0.0.1:${this.port}`,
        '-retentionPeriod=100y',
        '-search.latencyOffset=0s',
        '-dedup.minScrapeInterval=1ms',
      ],
      { stdio: 'ignore' },
    );
    await until('the time-series server', async () => (await fetch(`${this.url}/health`)).ok);
  }

  async stop(): Promise<void> {
    const { child } = this;
    if (!child || child.exitCode !== null) return;
    child.kill('SIGTERM');
    await once(child, 'exit');
  }

  /** Makes what was written so far visible to `export`. */
  async flush(): Promise<void> {
    await fetch(`${this.url}/internal/force_flush`);
  }

  async export(match = '{__name__=~"reading_.*"}'): Promise<ServedSeries[]> {
    const response = await fetch(`${this.url}/api/v1/export?match[]=${encodeURIComponent(match)}`);
    const text = await response.text();
    return text
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as ServedSeries);
  }
}
