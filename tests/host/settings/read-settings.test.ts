import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { destinationsOf } from '../../../host/outputs/destinations.js';
import { startOutputs } from '../../../host/outputs/index.js';
import { exampleHostSettings } from '../../../host/settings/example.js';
import { readHostSettings, readNamedFile } from '../../../host/settings/read-settings.js';
import { splitEndpoint } from '../../../host/settings/schema.js';
import { SettingsError } from '../../../host/settings/settings-file.js';
import { freePort } from '../../../host/supervise/free-port.js';
import { systemClock } from '../../../node/time/clock.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-settings-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const write = (name: string, text: string, mode = 0o600) => {
  writeFileSync(join(folder, name), text);
  chmodSync(join(folder, name), mode);
};
const read = (text: string) => {
  write('host.yaml', text);
  return readHostSettings(folder);
};

describe('host.yaml', () => {
  it('may be absent', () => expect(readHostSettings(folder)).toEqual({ settings: 1 }));

  it('that --help shows is right as it is', () => {
    expect(read(exampleHostSettings)).toMatchObject({
      nmea: { talker: 'YX', names: { 'port-elbow': 'Elbow P' } },
      messages: { signOfLife: '08:00', mail: { security: 'starttls', port: 587 } },
    });
  });

  it('gets its usual values filled in', () => {
    const settings = read('settings: 1\nnmea: { tcp: { listen: "0.0.0.0:10110" } }\nmessages: {}\n');
    expect(settings.nmea).toEqual({
      talker: 'YX',
      everyS: 2,
      names: {},
      udp: [],
      tcp: { listen: '0.0.0.0:10110' },
    });
    expect(settings.messages).toMatchObject({
      least: 'warning',
      mostPerHour: 12,
      signOfLife: '08:00',
      webhooks: [],
    });
  });

  it.each([
    ['an unknown word', 'settings: 1\nnema: {}\n', /line 2, column 1.*nema/s],
    ['a port too big', 'settings: 1\nnmea:\n  udp: [{ to: "10.0.0.1:70000" }]\n', /line 3.*at most 65535/s],
    ['a name NMEA cannot carry', 'settings: 1\nnmea:\n  names: { a: "P*S" }\n', /line 3.*letters, digits/s],
    ['an invalid time', 'settings: 1\nmessages:\n  signOfLife: "25:00"\n', /line 3.*signOfLife/s],
    [
      'an invalid address',
      'settings: 1\nmessages:\n  mail: { server: s, from: boat, to: [a@b.org] }\n',
      /line 3.*e-mail address/s,
    ],
    [
      'a user without a password',
      'settings: 1\nmessages:\n  mail: { server: s, from: a@b.org, to: [a@b.org], user: u }\n',
      /go together/,
    ],
    [
      'a password in clear',
      'settings: 1\nmessages:\n  mail: { server: mail.example.org, security: none, user: u, passwordFile: p, from: a@b.org, to: [a@b.org] }\n',
      /readable by anyone/,
    ],
    [
      'a broker address that holds a password',
      'settings: 1\nmqtt:\n  url: "mqtts://u:p@broker.example.org"\n',
      /line 3.*user and passwordFile/s,
    ],
    [
      'secret headers in clear',
      'settings: 1\nmessages:\n  plainPosts: [{ url: "http://push.example.org/boat", secretHeadersFile: h }]\n',
      /readable by anyone/,
    ],
    [
      'an ftp address',
      'settings: 1\nmessages:\n  webhooks: [{ url: "ftp://example.org", secretFile: s }]\n',
      /http:\/\/ or https:\/\//,
    ],
    ['a layout of the future', 'settings: 2\n', /line 1/],
    ['no YAML at all', 'settings: [1\n', /not YAML/],
  ])('with %s is refused, with the place and what to do', (_what, text, words) => {
    expect(() => read(text)).toThrow(SettingsError);
    expect(() => read(text)).toThrow(words);
    expect(() => read(text)).toThrow(/elbowroom outputs checks it/);
  });
});

describe('a file that host.yaml names', () => {
  const named = (name: string, webhook = false) =>
    readNamedFile(folder, name, { setting: 'messages.webhooks[0].secretFile', secret: true, webhook });

  it('is read without the newline at its end', () => {
    write('secret', 'twenty-four bytes or more\n');
    expect(named('secret', true)).toBe('twenty-four bytes or more');
  });

  it.each([
    ['is missing', undefined, 0o600, /cannot be read: ENOENT/],
    ['is empty', '\n', 0o600, /is empty/],
    ['is readable by others', 'twenty-four bytes or more', 0o644, /chmod 600/],
    ['holds a short secret', 'short', 0o600, /5 bytes is too short.*openssl rand/],
  ])('that %s is refused by its name and its setting', (_what, text, mode, words) => {
    if (text !== undefined) write('secret', text, mode);
    expect(() => named('secret', true)).toThrow(words);
    expect(() => named('secret', true)).toThrow(/messages\.webhooks\[0\]\.secretFile in .*host\.yaml/);
  });
});

describe('outputs from settings', () => {
  it('two recipients at one host have names of their own, so that neither loses what waits for the other', () => {
    const { messages } = read(
      'settings: 1\nmessages:\n  plainPosts: [{ url: "https://push.example.org/a" }, { url: "https://push.example.org/b" }]\n',
    );
    if (!messages) throw new Error('no messages');
    expect(destinationsOf(messages, folder, systemClock).map(({ name }) => name)).toEqual([
      'plain text to push.example.org',
      'plain text to push.example.org (2)',
    ]);
  });

  it('are as many as were named, each with its own name', async () => {
    write('hook', 'twenty-four bytes or more');
    write('password', 'p');
    const port = await freePort();
    const settings = read(
      `settings: 1
nmea: { udp: [{ to: "127.0.0.1:10110" }], tcp: { listen: "127.0.0.1:${port}" } }
messages:
  webhooks: [{ url: "https://example.org/x", secretFile: hook }]
  mail: { server: mail.example.org, user: u, passwordFile: password, from: a@example.org, to: [b@example.org] }
`,
    );
    const live = { nodes: () => [], on: () => () => undefined, onChange: () => () => undefined };
    const outputs = startOutputs({
      settings,
      dataDir: folder,
      live,
      clock: systemClock,
      log: () => undefined,
    });
    expect(outputs.status().map((s) => s.name)).toEqual([
      'webhook to example.org',
      'mail to b@example.org through mail.example.org',
      'NMEA 0183 over UDP to 127.0.0.1:10110',
      `NMEA 0183 over TCP at 127.0.0.1:${port}`,
    ]);
    await outputs.stop();
  });

  it('are refused before anything starts when a secret is missing', () => {
    const { messages } = read(
      'settings: 1\nmessages:\n  webhooks: [{ url: "https://example.org", secretFile: gone }]\n',
    );
    if (!messages) throw new Error('no messages');
    expect(() => destinationsOf(messages, folder, systemClock)).toThrow(/gone.*cannot be read/);
  });

  it.each([
    ['192.168.4.255:10110', { host: '192.168.4.255', port: 10110 }],
    ['[::1]:99', { host: '::1', port: 99 }],
    ['plotter.local:10110', { host: 'plotter.local', port: 10110 }],
  ])('understand %s', (text, parts) => expect(splitEndpoint(text)).toEqual(parts));
});
