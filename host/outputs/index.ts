/** What leaves the host for other instruments and other people. */
import type { Clock } from '../../node/index.js';
import type { LiveSource } from '../live/live-source.js';
import type { OutputStatus, RunningOutput } from '../live/output-status.js';
import { readNamedFile } from '../settings/read-settings.js';
import type { HostSettings, MailSettings, MessageSettings, MqttSettings } from '../settings/schema.js';
import { SettingsError } from '../settings/settings-file.js';
import { degreesIn } from '../wording/degrees.js';
import { mailDestinations } from './messages/mail.js';
import type { Destination } from './messages/message.js';
import { headerLines, plainPostDestination } from './messages/plain-post.js';
import { startMessages } from './messages/start-messages.js';
import { webhookDestination } from './messages/webhook.js';
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

/** All recipients of messages, with their secrets read, each under a name of its own. Throws SettingsError. */
export const destinationsOf = (
  { webhooks, plainPosts, mail }: MessageSettings,
  dataDir: string,
  clock: Clock,
): readonly Destination[] =>
  numbered([
    ...webhooks.map(({ secretFile, ...to }, index) => {
      const setting = `messages.webhooks[${index}].secretFile`;
      return webhookDestination(
        { ...to, secret: readNamedFile(dataDir, secretFile, { setting, secret: true, webhook: true }) },
        clock,
      );
    }),
    ...plainPosts.map(({ secretHeadersFile, ...to }, index) => {
      const setting = `messages.plainPosts[${index}].secretHeadersFile`;
      const secretHeaders = readHeaderLines(dataDir, secretHeadersFile, setting);
      return plainPostDestination({ ...to, ...(secretHeaders && { secretHeaders }) });
    }),
    ...(mail ? mailDestinations(withFiles(mail, dataDir)) : []),
  ]);

/** Two topics of one relay have one host, so one name: their waiting messages must not share a folder. */
const numbered = (destinations: readonly Destination[]): readonly Destination[] =>
  destinations.map((destination, index) => {
    const { name } = destination;
    const before = destinations.slice(0, index).filter((other) => other.name === name).length;
    return before === 0 ? destination : { ...destination, name: `${name} (${before + 1})` };
  });

const withFiles = ({ passwordFile, caFile, ...mail }: MailSettings, dataDir: string) => {
  const read = (name: string, setting: string, secret: boolean) =>
    readNamedFile(dataDir, name, { setting: `messages.mail.${setting}`, secret });
  return {
    ...mail,
    ...(passwordFile === undefined ? {} : { password: read(passwordFile, 'passwordFile', true) }),
    ...(caFile === undefined ? {} : { ca: read(caFile, 'caFile', false) }),
  };
};

const readHeaderLines = (dataDir: string, name: string | undefined, setting: string) => {
  if (name === undefined) return undefined;
  try {
    return headerLines(readNamedFile(dataDir, name, { setting, secret: true }));
  } catch (error) {
    if (error instanceof SettingsError) throw error;
    throw new SettingsError(`${setting}: ${name}: ${(error as Error).message}.`);
  }
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
