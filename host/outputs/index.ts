/** Outputs of the host: instruments, MQTT, messages. */
import type { Clock } from '../../node/index.js';
import type { LiveSource } from '../live/live-source.js';
import type { OutputStatus, RunningOutput } from '../live/output-status.js';
import { readNamedFile } from '../settings/read-settings.js';
import type { HostSettings, MqttSettings } from '../settings/schema.js';
import { degreesIn } from '../wording/degrees.js';
import { destinationsOf } from './destinations.js';
import { startMessages } from './messages/start-messages.js';
import { startMqtt } from './mqtt/start-mqtt.js';
import { startNmea } from './nmea/start-nmea.js';
import { worthTelling } from './watch-outputs.js';

export type { RunningOutput } from '../live/output-status.js';
export { watchOutputs } from './watch-outputs.js';

export type OutputsOptions = {
  readonly settings: HostSettings;
  readonly dataDir: string;
  readonly live: Pick<LiveSource, 'nodes' | 'on' | 'onChange'>;
  readonly clock: Clock;
  readonly log: (words: string) => void;
};

/** Starts every output that host.yaml names. One that cannot start is a status with its reason; the others start. */
export const startOutputs = ({ settings, dataDir, live, clock, log }: OutputsOptions): RunningOutput => {
  const running: RunningOutput[] = [];
  const failed: OutputStatus[] = [];
  const start = (name: string, begin: () => RunningOutput): void => {
    try {
      running.push(begin());
    } catch (error) {
      const lastError = (error as Error).message;
      log(`${name} cannot start: ${lastError}`);
      failed.push({ name, sent: 0, failed: worthTelling, waiting: 0, dropped: 0, lastError });
    }
  };
  const { messages, mqtt, nmea } = settings;
  if (messages)
    start('Messages ashore', () =>
      startMessages({
        settings: messages,
        destinations: destinationsOf(messages, dataDir, clock),
        dataDir,
        degrees: degreesIn(settings.degrees ?? 'celsius'),
        live,
        clock,
        log,
      }),
    );
  if (nmea) start('NMEA 0183', () => startNmea(nmea, { live }));
  if (mqtt) start('MQTT', () => startMqtt(brokerWithFiles(mqtt, dataDir), live));
  return {
    status: () => [...failed, ...running.flatMap((output) => output.status())],
    stop: async () => {
      for (const output of running) await output.stop();
    },
  };
};

const brokerWithFiles = ({ passwordFile, caFile, ...broker }: MqttSettings, dataDir: string) => ({
  ...broker,
  ...(passwordFile !== undefined && {
    password: readNamedFile(dataDir, passwordFile, { setting: 'mqtt.passwordFile', secret: true }),
  }),
  ...(caFile !== undefined && {
    ca: readNamedFile(dataDir, caFile, { setting: 'mqtt.caFile', secret: false }),
  }),
});
