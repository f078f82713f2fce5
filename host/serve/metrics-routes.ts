import type { FastifyInstance } from 'fastify';
import { Gauge, Registry } from 'prom-client';
import type { LiveSource } from '../live/live-source.js';

const reading = {
  temperatureC: ['elbowroom_temperature_celsius', 'Last temperature of a probe'],
  pressureKpa: ['elbowroom_pressure_kilopascals', 'Last pressure of a probe'],
  speedRpm: ['elbowroom_speed_rpm', 'Last speed of an engine'],
} as const;

/** As over MQTT: a reading of more than this is not the present any more. */
const staleAfterMs = 10_000;

/**
 * The present in the OpenMetrics text format at `/metrics`, gathered when it is asked for. A probe without a reading has
 * no sample and `elbowroom_reading_good` 0, so that what is missing is never drawn as what was.
 */
export const metricsRoutes = (app: FastifyInstance, live: Pick<LiveSource, 'nodes'>): void => {
  app.get('/metrics', async (_request, reply) => {
    const registry = new Registry<typeof Registry.OPENMETRICS_CONTENT_TYPE>();
    registry.setContentType(Registry.OPENMETRICS_CONTENT_TYPE);
    const gauge = (name: string, help: string, labelNames: readonly string[]) =>
      new Gauge({ name, help, labelNames: [...labelNames], registers: [registry] });
    const values = new Map(
      Object.entries(reading).map(([key, [name, help]]) => [key, gauge(name, help, ['node', 'probe'])]),
    );
    const good = gauge('elbowroom_reading_good', '1 where a probe has a good reading, 0 where it has none', [
      'node',
      'probe',
    ]);
    const up = gauge('elbowroom_node_connected', '1 while the node is connected', ['node']);
    const alerts = gauge('elbowroom_active_alerts', 'Alerts whose condition is active', ['node', 'priority']);
    for (const { node, connected, latest, ageMs, alerts: rows } of live.nodes()) {
      up.set({ node }, connected ? 1 : 0);
      for (const priority of ['alarm', 'warning', 'caution'] as const)
        alerts.set(
          { node, priority },
          rows.filter((a) => a.priority === priority && a.state !== 'rectified').length,
        );
      for (const row of latest) {
        const isFresh = connected && (ageMs[row.probe] ?? Number.POSITIVE_INFINITY) <= staleAfterMs;
        const isGood = isFresh && row.quality === 'good';
        good.set({ node, probe: row.probe }, isGood ? 1 : 0);
        if (!isGood) continue;
        for (const [key, metric] of values) {
          const value = (row as unknown as Readonly<Record<string, unknown>>)[key];
          if (typeof value === 'number') metric.set({ node, probe: row.probe }, value);
        }
      }
    }
    return reply.type(registry.contentType).send(await registry.metrics());
  });
};
