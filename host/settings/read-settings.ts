import { readFileSync, statSync } from 'node:fs';
import { dirname, isAbsolute, join } from 'node:path';
import { checkYaml, NodeError } from '../../node/index.js';
import { type HostSettings, hostSettingsSchema } from './schema.js';
import { SettingsError, settingsPath } from './settings-file.js';

/** A right line for places that are often got wrong. */
const examples: Readonly<Record<string, string>> = {
  degrees: 'degrees: fahrenheit',
  nmea: 'nmea: { udp: [{ to: 192.168.4.255:10110, broadcast: true }] }',
  'nmea.tcp': 'tcp: { listen: 0.0.0.0:10110 }',
  backup: 'backup: { to: /media/stick }',
  messages: 'messages: { webhooks: [{ url: https://example.org/boat, secretFile: webhook.secret }] }',
  'messages.signOfLife': 'signOfLife: "08:00"',
};

/**
 * The host's settings, checked; none at all when there is no file, which is fine.
 * Throws SettingsError with line and column.
 */
export const readHostSettings = (dataDir: string): HostSettings =>
  readSettingsAt(settingsPath(dataDir)) ?? { settings: 1 };

/** The text of a settings file; undefined when there is none. Throws SettingsError when it cannot be read. */
export const settingsTextAt = (path: string): string | undefined => {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT' || code === 'ENOTDIR') return undefined;
    throw new SettingsError(`${path} cannot be read: ${(error as Error).message}`, { cause: error });
  }
};

/** The same of one file; undefined when there is none. */
export const readSettingsAt = (path: string): HostSettings | undefined => {
  const text = settingsTextAt(path);
  if (text === undefined) return undefined;
  try {
    return checkYaml(text, hostSettingsSchema, {
      file: path,
      exampleFor: (where) => examples[where.replace(/\.\d+/g, '')],
      next: 'Correct it and start the host again; elbowroom outputs checks it without starting anything.',
    });
  } catch (error) {
    if (error instanceof NodeError) throw new SettingsError(error.message, { cause: error });
    throw error;
  }
};

/** The shortest secret that is not a joke: 24 bytes, as the Standard Webhooks specification asks. */
const shortestSecret = 24;

/**
 * Reads a file that host.yaml names and that holds a secret or a certificate, without the newline at its end.
 * Throws SettingsError when it is missing or empty, and when a secret is readable by others.
 */
export const readNamedFile = (
  dataDir: string,
  name: string,
  what: { readonly setting: string; readonly secret: boolean; readonly webhook?: boolean },
): string => {
  const path = isAbsolute(name) ? name : join(dirname(settingsPath(dataDir)), name);
  const wrong = (why: string, cause?: unknown) =>
    new SettingsError(`${what.setting} in ${settingsPath(dataDir)} names ${path}, and ${why}`, { cause });
  let text: string;
  try {
    text = readFileSync(path, 'utf8').replace(/\r?\n$/, '');
  } catch (error) {
    throw wrong(`that file cannot be read: ${(error as Error).message}`, error);
  }
  if (text === '') throw wrong('that file is empty.');
  if (what.secret && process.platform !== 'win32' && (statSync(path).mode & 0o077) !== 0)
    throw wrong(`other users of this computer can read it. Keep it to yourself: chmod 600 ${path}`);
  const bytes = text.startsWith('whsec_')
    ? Buffer.from(text.slice(6), 'base64').length
    : Buffer.byteLength(text);
  if (what.webhook && bytes < shortestSecret)
    throw wrong(
      `a secret of ${bytes} bytes is too short; ${shortestSecret} at least. A good one: openssl rand -base64 32 | sed s/^/whsec_/ > ${path}`,
    );
  return text;
};
