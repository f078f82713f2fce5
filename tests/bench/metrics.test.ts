import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { LiveSource } from '../../host/live/live-source.js';
import { addToken, readAccess } from '../../host/serve/access/access-file.js';
import { servePage } from '../../host/serve/serve-page.js';
import { freePort } from '../../host/supervise/free-port.js';
import { systemClock } from '../../node/index.js';
import { until } from './house/running-command.js';
import { anAlarm, ScriptedLive } from './house/scripted-live.js';

it('Debian’s prometheus scrapes /metrics with a token, and finds values, what is missing, and alerts', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-metrics-'));
  const token = addToken(folder, 'scraper', 'watch');
  const live = new ScriptedLive(systemClock.wallMs());
  live.become({ alerts: [anAlarm(5)] });
  const page = await servePage({
    live: live as unknown as LiveSource,
    clock: systemClock,
    port: 0,
    access: () => readAccess(folder),
    metrics: true,
  });
  const port = await freePort();
  const config = join(folder, 'scrape.yml');
  writeFileSync(
    config,
    `global: { scrape_interval: 1s }
scrape_configs:
  - job_name: boat
    metrics_path: /metrics
    authorization: { credentials: ${token} }
    static_configs: [{ targets: ["127.0.0.1:${page.port}"] }]
`,
  );
  const server = spawn(
    'prometheus',
    [
      `--config.file=${config}`,
      `--storage.tsdb.path=${join(folder, 'data')}`,
      `--web.listen-address=127.0.0.1:${port}`,
    ],
    { stdio: 'ignore' },
  );
  const query = async (expression: string) => {
    const answer = await fetch(
      `http://127.0.0.1:${port}/api/v1/query?query=${encodeURIComponent(expression)}`,
    );
    const { data } = (await answer.json()) as {
      data: { result: { metric: Record<string, string>; value: [number, string] }[] };
    };
    return data.result;
  };
  try {
    const [elbow] = await until('the elbow', async () => {
      const found = await query('elbowroom_temperature_celsius{probe="port-elbow"}');
      return found.length > 0 && found;
    });
    expect(elbow?.value[1]).toBe('41.25');
    expect(await query('elbowroom_temperature_celsius{probe="sea-water"}')).toEqual([]);
    const good = await query('elbowroom_reading_good');
    expect(Object.fromEntries(good.map(({ metric, value }) => [metric.probe, value[1]]))).toEqual({
      'port-elbow': '1',
      'sea-water': '0',
    });
    expect((await query('elbowroom_active_alerts{priority="alarm"}'))[0]?.value[1]).toBe('1');
    expect((await fetch(new URL('/metrics', page.url))).status, 'without the token').toBe(401);
  } finally {
    server.kill('SIGKILL');
    await page.close();
    rmSync(folder, { recursive: true, force: true });
  }
});
