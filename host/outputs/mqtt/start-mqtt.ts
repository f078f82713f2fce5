import { setTimeout as pause } from 'node:timers/promises';
import { connect, type IClientOptions } from 'mqtt';
import type { LiveSource, NodeNow } from '../../live/live-source.js';
import type { RunningOutput } from '../../live/output-status.js';
import { alertsPayload, readingPayload } from './payload.js';

export type MqttOptions = {
  /** `mqtt://`, or `mqtts://` for TLS. */
  readonly url: string;
  /** 3.1.1 or 5 (OASIS). */
  readonly version: '3.1.1' | '5';
  /** What every topic begins with. */
  readonly topic: string;
  readonly everyS: number;
  readonly user?: string | undefined;
  readonly password?: string | undefined;
  /** Certificate (PEM) of a broker with a certificate of its own making. */
  readonly ca?: string | undefined;
};

const goodbyeWithinMs = 2_000;
const protocolVersions = { '3.1.1': 4, '5': 5 } as const;

/** What is in flight when a connection breaks is not kept: on the next one the present is published whole. */
const connection = ({ user, password, ca, version, topic }: MqttOptions): IClientOptions => ({
  protocolVersion: protocolVersions[version],
  reconnectPeriod: 5000,
  connectTimeout: 10_000,
  queueQoSZero: false,
  clean: true,
  ...(user !== undefined && { username: user }),
  ...(password !== undefined && { password }),
  ...(ca !== undefined && { ca }),
  will: { topic: `${topic}/available`, payload: Buffer.from('offline'), qos: 1, retain: true },
});

/**
 * Publishes the present to an MQTT broker, every topic retained, so that a subscriber sees the whole boat at once:
 *
 *     TOPIC/available                 online, or offline by the broker's last will when this host is gone
 *     TOPIC/NODE/available            online while the node is connected
 *     TOPIC/NODE/reading/PROBE        JSON: at, quality, and the value under its name with its unit
 *     TOPIC/NODE/alerts               JSON: every active alert, most severe first; [] when there is none
 *
 * Nothing old is queued while the broker is unreachable, so nothing that is over is shown as present when it is back.
 */
export const startMqtt = (
  options: MqttOptions,
  live: Pick<LiveSource, 'nodes' | 'on' | 'onChange'>,
): RunningOutput => {
  const { topic, everyS } = options;
  const client = connect(options.url, connection(options));
  const published = new Map<string, string>();
  let [sent, failed] = [0, 0];
  let lastError: string | undefined;

  const publish = (name: string, payload: string): void => {
    if (!client.connected || published.get(name) === payload) return;
    published.set(name, payload);
    client.publish(`${topic}/${name}`, payload, { qos: 1, retain: true }, (error) => {
      if (!error) {
        sent++;
        return;
      }
      published.delete(name);
      failed++;
      lastError = error.message;
    });
  };
  const publishAlerts = ({ node, alerts, connected }: NodeNow): void => {
    publish(`${level(node)}/available`, connected ? 'online' : 'offline');
    publish(`${level(node)}/alerts`, alertsPayload(alerts));
  };
  const publishReadings = (): void => {
    for (const { node, latest, connected, ageMs } of live.nodes())
      for (const row of latest)
        publish(
          `${level(node)}/reading/${level(row.probe)}`,
          readingPayload(row, connected ? ageMs[row.probe] : undefined),
        );
  };
  const publishAll = (): void => {
    publish('available', 'online');
    for (const node of live.nodes()) publishAlerts(node);
    publishReadings();
  };

  client.on('connect', () => {
    // The broker may be another, or have forgotten: everything once more.
    published.clear();
    publishAll();
  });
  client.on('error', (error) => {
    failed++;
    lastError = error.message;
  });
  const stopListening = [
    live.on((_node, message) => {
      if (message.kind === 'alerts') for (const node of live.nodes()) publishAlerts(node);
    }),
    live.onChange(() => {
      for (const node of live.nodes()) publishAlerts(node);
    }),
  ];
  const sayOffline = (): Promise<boolean> =>
    client.publishAsync(`${topic}/available`, 'offline', { qos: 1, retain: true }).then(
      () => true,
      () => false,
    );
  const timer = setInterval(publishReadings, everyS * 1000);
  timer.unref();
  return {
    status: () => [
      {
        name: `MQTT to ${new URL(options.url).host}`,
        sent,
        failed,
        waiting: 0,
        dropped: 0,
        ...(lastError !== undefined && !client.connected && { lastError }),
      },
    ],
    stop: async () => {
      clearInterval(timer);
      for (const stop of stopListening) stop();
      // A broker that takes nothing any more would hold the host back for ever; the last will says the same as we do.
      const said = client.connected && (await Promise.race([sayOffline(), pause(goodbyeWithinMs, false)]));
      await client.endAsync(!said);
    },
  };
};

/** A name as one level of a topic: `/`, `+` and `#` are the protocol's own (MQTT 3.1.1, 4.7). */
const level = (name: string): string => name.replace(/[/+#\0]/g, '-');
