import type { LiveSource } from '../../live/live-source.js';
import type { RunningOutput } from '../../live/output-status.js';
import { type NmeaSettings, splitEndpoint } from '../../settings/schema.js';
import { sendOverUdp } from './send-udp.js';
import { serveOverTcp } from './serve-tcp.js';
import { temperaturesToSend } from './temperatures.js';
import { encodeXdr } from './xdr.js';

/** Sends every probe's temperature to the instruments aboard, every `everyS` seconds, until stopped. */
export const startNmea = (
  settings: NmeaSettings,
  from: { readonly live: Pick<LiveSource, 'nodes'> },
): RunningOutput => {
  const outputs = [
    ...settings.udp.map(({ to, broadcast }) => sendOverUdp({ ...splitEndpoint(to), broadcast })),
    ...(settings.tcp ? [serveOverTcp(splitEndpoint(settings.tcp.listen))] : []),
  ];
  const round = () => {
    const temperatures = temperaturesToSend(from.live.nodes(), settings.names);
    const sentences = encodeXdr(settings.talker, temperatures);
    for (const output of outputs) output.send(sentences);
  };
  const timer = setInterval(round, settings.everyS * 1000);
  timer.unref();
  return {
    status: () => outputs.map((output) => output.status()),
    stop: async () => {
      clearInterval(timer);
      await Promise.all(outputs.map((output) => output.close()));
    },
  };
};
