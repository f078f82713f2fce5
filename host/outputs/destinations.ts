import type { Clock } from '../../node/index.js';
import { readNamedFile } from '../settings/read-settings.js';
import type { MailSettings, MessageSettings } from '../settings/schema.js';
import { SettingsError } from '../settings/settings-file.js';
import { mailDestinations } from './messages/mail.js';
import type { Destination } from './messages/message.js';
import { headerLines, plainPostDestination } from './messages/plain-post.js';
import { webhookDestination } from './messages/webhook.js';

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
