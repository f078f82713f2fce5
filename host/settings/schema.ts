import { isIP } from 'node:net';
import { z } from 'zod';
import { scales } from '../wording/degrees.js';

const endpoint = z
  .string()
  .regex(
    /^(\[[0-9a-fA-F:]+\]|[A-Za-z0-9.-]+):([1-9]\d{0,4})$/,
    'address and port such as 192.168.4.255:10110 or 0.0.0.0:10110',
  )
  .refine((text) => Number(text.slice(text.lastIndexOf(':') + 1)) <= 65535, 'a port is at most 65535');

/** A name a display shows; NMEA 0183 keeps some characters for itself. */
const nmeaName = z
  .string()
  .regex(/^[A-Za-z0-9 _.-]{1,20}$/, 'up to 20 letters, digits, spaces, dots, hyphens, underscores');

const loopback = (host: string) => /^(localhost|::1|\[::1\]|127\..*)$/.test(host);
/** Whether what is sent to an address is encrypted, or stays on this computer. */
const keepsSecrets = (url: string) => !/^(http|mqtt):/.test(url) || loopback(new URL(url).hostname);

const nmea = z.strictObject({
  /** Who talks: YX is a transducer, II integrated instruments; some displays listen to II alone. */
  talker: z
    .string()
    .regex(/^[A-Z][A-Z0-9]$/, 'two capital letters such as YX or II')
    .default('YX'),
  everyS: z.number().min(0.5).max(60).default(2),
  /** Probe id to the name the display shows; a probe that is not named here has its id. */
  names: z.record(z.string(), nmeaName).default({}),
  udp: z.array(z.strictObject({ to: endpoint, broadcast: z.boolean().default(false) })).default([]),
  tcp: z.strictObject({ listen: endpoint }).optional(),
});

const webhook = z.strictObject({
  url: z.url({ protocol: /^https?$/, error: 'an http:// or https:// address' }),
  /** File with the shared secret, relative to host.yaml; kept apart so that host.yaml can be shown to others. */
  secretFile: z.string().min(1),
  timeoutS: z.number().min(1).max(60).default(15),
});

/** Plain text to an address of one's own, with headers that a push relay understands. */
const plainPost = z
  .strictObject({
    url: z.url({ protocol: /^https?$/, error: 'an http:// or https:// address' }),
    /** `{subject}` and `{priority}` are filled in. */
    headers: z
      .record(z.string().regex(/^[A-Za-z0-9-]{1,60}$/, 'a header name such as Title'), z.string().max(200))
      .default({ Title: '{subject}', Priority: '{priority}' }),
    /** File with header lines that are secret, such as `Authorization: Bearer ...`, relative to host.yaml. */
    secretHeadersFile: z.string().min(1).optional(),
    /** What `{priority}` becomes. */
    priorities: z
      .strictObject({
        alarm: z.string().default('urgent'),
        warning: z.string().default('high'),
        caution: z.string().default('default'),
        none: z.string().default('low'),
      })
      .default({ alarm: 'urgent', warning: 'high', caution: 'default', none: 'low' }),
    timeoutS: z.number().min(1).max(60).default(15),
  })
  .refine(({ url, secretHeadersFile }) => secretHeadersFile === undefined || keepsSecrets(url), {
    path: ['url'],
    message: 'http: would send the secret headers readable by anyone on the way; use https:',
  });

const mqtt = z
  .strictObject({
    url: z.url({ protocol: /^mqtts?$/, error: 'a broker such as mqtt://192.168.4.2:1883 or mqtts://...' }),
    version: z.enum(['3.1.1', '5']).default('5'),
    /** What every topic begins with. */
    topic: z
      .string()
      .regex(/^[^+#\0/][^+#\0]{0,99}$/, 'a topic without + and #, such as elbowroom')
      .default('elbowroom'),
    /** Seconds between two readings of a probe. */
    everyS: z.number().min(1).max(3600).default(5),
    user: z.string().min(1).optional(),
    passwordFile: z.string().min(1).optional(),
    /** Certificate (PEM) of a broker with a certificate of its own making, relative to host.yaml. */
    caFile: z.string().min(1).optional(),
  })
  .refine(({ url }) => new URL(url).username === '' && new URL(url).password === '', {
    path: ['url'],
    message: 'a name or password does not belong in the address, which is shown; use user and passwordFile',
  })
  .refine(({ url, passwordFile }) => passwordFile === undefined || keepsSecrets(url), {
    path: ['url'],
    message: 'mqtt: would send the password readable by anyone on the way; use mqtts:',
  });

const address = z.email({ error: 'an e-mail address such as skipper@example.org' });

const mail = z
  .strictObject({
    server: z.string().regex(/^[A-Za-z0-9.:-]+$/, 'a host name such as mail.example.org'),
    port: z.number().int().min(1).max(65535).default(587),
    /** starttls (port 587) and tls (port 465) are private; none is for a server on this computer. */
    security: z.enum(['starttls', 'tls', 'none']).default('starttls'),
    user: z.string().min(1).optional(),
    passwordFile: z.string().min(1).optional(),
    from: address,
    to: z.array(address).min(1).max(20),
    /** Certificate (PEM) of a server with a certificate of its own making, relative to host.yaml. */
    caFile: z.string().min(1).optional(),
    timeoutS: z.number().min(1).max(120).default(30),
  })
  .refine(({ user, passwordFile }) => (user === undefined) === (passwordFile === undefined), {
    path: ['user'],
    message: 'user and passwordFile go together',
  })
  .refine(({ security, user, server }) => security !== 'none' || user === undefined || loopback(server), {
    path: ['security'],
    message: 'none would send the password readable by anyone on the way; use starttls or tls',
  });

const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time of day such as "08:00"');

const messages = z.strictObject({
  /** The least priority that is worth a message. */
  least: z.enum(['alarm', 'warning', 'caution']).default('warning'),
  /** Changes within this span travel in one message. */
  gatherS: z.number().min(0).max(60).default(5),
  /** Beyond this rate changes wait and travel together in one later message; none is dropped. */
  mostPerHour: z.number().int().min(1).max(120).default(12),
  /** A node without contact for this long is worth a message. */
  nodeSilentS: z.number().min(30).max(86_400).default(300),
  /** Once a day, so that silence is noticed; the computer's own time zone. */
  signOfLife: z.union([timeOfDay, z.literal('off')]).default('08:00'),
  /** How long a message that cannot be delivered is tried again. */
  tryForHours: z.number().min(1).max(168).default(48),
  /** From one time of day to another only alarms and lost nodes are sent; the rest waits until it ends. */
  quietHours: z.strictObject({ from: timeOfDay, to: timeOfDay }).optional(),
  webhooks: z.array(webhook).max(8).default([]),
  plainPosts: z.array(plainPost).max(8).default([]),
  mail: mail.optional(),
});

/** A backup onto a stick or another disk when a voyage is over. */
const backup = z.strictObject({
  /** A folder that is there while the stick is in; it is never made, and one on the file system of the boat's own data is refused. */
  to: z
    .string()
    .min(1)
    .regex(/^([/\\]|[A-Za-z]:)/, 'a whole path such as /media/stick'),
  /** Of this boat; older ones than this many are deleted. */
  keep: z.number().int().min(1).max(100).default(5),
});

/** `host.yaml` in the host's data folder: what leaves the boat, and the instruments aboard that listen. */
export const hostSettingsSchema = z.strictObject({
  /** Version of this file's layout. */
  settings: z.literal(1),
  /** What people read: at the terminal, in reports and messages, and on a page until a reader chooses otherwise. */
  degrees: z.enum(scales).optional(),
  /** Longest stretch between two calibrations of a probe; a year unless given. */
  calibrateEveryDays: z.number().int().min(30).max(1830).optional(),
  nmea: nmea.optional(),
  mqtt: mqtt.optional(),
  /** The present at /metrics of the page, in the OpenMetrics format, with the page's own pass-phrase or token. */
  metrics: z.boolean().optional(),
  messages: messages.optional(),
  backup: backup.optional(),
});

export type HostSettings = z.infer<typeof hostSettingsSchema>;
export type NmeaSettings = z.infer<typeof nmea>;
export type MqttSettings = z.infer<typeof mqtt>;
export type MessageSettings = z.infer<typeof messages>;
export type BackupSettings = z.infer<typeof backup>;
export type MailSettings = z.infer<typeof mail>;

/** Splits an address the schema has let through: `[::1]:10110` or `192.168.4.255:10110`. */
export const splitEndpoint = (text: string): { readonly host: string; readonly port: number } => {
  const colon = text.lastIndexOf(':');
  const host = text.slice(0, colon).replace(/^\[|\]$/g, '');
  return { host, port: Number(text.slice(colon + 1)) };
};

/** Whether sending there needs an IPv6 socket. */
export const isIpv6 = (host: string): boolean => isIP(host) === 6;
