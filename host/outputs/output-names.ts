import type { HostSettings } from '../settings/schema.js';

/** What leaves the host besides messages, in words. */
export const instrumentNames = ({ nmea, mqtt, metrics }: HostSettings): readonly string[] => [
  ...(nmea?.udp ?? []).map(({ to }) => `NMEA 0183 over UDP to ${to}`),
  ...(nmea?.tcp ? [`NMEA 0183 over TCP at ${nmea.tcp.listen}`] : []),
  ...(mqtt ? [`MQTT to ${mqtt.url}, topics below ${mqtt.topic}/`] : []),
  ...(metrics ? ['metrics at /metrics of the page'] : []),
];

/** Everything that leaves the host, in words, without reading a secret or starting anything. */
export const outputNames = (settings: HostSettings): readonly string[] => [
  ...instrumentNames(settings),
  ...(settings.messages?.webhooks ?? []).map(({ url }) => `webhook to ${new URL(url).host}`),
  ...(settings.messages?.plainPosts ?? []).map(({ url }) => `plain post to ${new URL(url).host}`),
  ...(settings.messages?.mail ? [`mail to ${settings.messages.mail.to.join(' and ')}`] : []),
];
