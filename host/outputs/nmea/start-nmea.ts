import type { LiveSource } from '../../live/live-source.js';
import type { OutputStatus, RunningOutput } from '../../live/output-status.js';
import { type NmeaSettings, splitEndpoint } from '../../settings/schema.js';
import { alertSentences } from './alert-text.js';
import { sendOverUdp } from './send-udp.js';
import type { SentenceOutput } from './sentence-output.js';
import { serveOverTcp } from './serve-tcp.js';
import { temperaturesToSend } from './temperatures.js';
import { encodeXdr, type Measurement } from './xdr.js';

/** Sends what to do now, and every probe's temperature, to the instruments aboard, every `everyS` seconds, until stopped. An error stops nothing else. */
export const startNmea = (
  settings: NmeaSettings,
  from: { readonly live: Pick<LiveSource, 'nodes'> },
): RunningOutput => {
  const outputs = [
    ...settings.udp.map(({ to, broadcast }) => sendOverUdp({ ...splitEndpoint(to), broadcast })),
    ...(settings.tcp ? [serveOverTcp(splitEndpoint(settings.tcp.listen))] : []),
  ].map(alone);
  const round = () => {
    const nodes = from.live.nodes();
    const { sendable, why } = sort(settings.talker, temperaturesToSend(nodes, settings.names));
    const sentences = [...alertSentences(settings.talker, nodes), ...encodeXdr(settings.talker, sendable)];
    for (const output of outputs) output.send(sentences, why);
  };
  const timer = setInterval(() => {
    try {
      round();
    } catch (error) {
      for (const output of outputs) output.send([], (error as Error).message);
    }
  }, settings.everyS * 1000);
  timer.unref();
  return {
    status: () => outputs.map(({ status }) => status()),
    stop: async () => {
      clearInterval(timer);
      await Promise.all(outputs.map(({ close }) => close()));
    },
  };
};

/** The measurements that make a sentence, and why the last of the others does not: one bad name must not stop the rest. */
const sort = (talker: string, measurements: readonly Measurement[]) => {
  let why: string | undefined;
  const sendable = measurements.filter((measurement) => {
    try {
      encodeXdr(talker, [measurement]);
      return true;
    } catch (error) {
      why = `probe ${measurement.id ?? ''}: ${(error as Error).message}`;
      return false;
    }
  });
  return { sendable, why };
};

/** An output that catches its errors: counted, and the last one kept. */
const alone = (output: SentenceOutput) => {
  let failed = 0;
  let lastError: string | undefined;
  return {
    send: (sentences: readonly string[], why: string | undefined): void => {
      lastError = why;
      try {
        output.send(sentences);
      } catch (error) {
        lastError = (error as Error).message;
      }
      if (lastError !== undefined) failed++;
    },
    status: (): OutputStatus => {
      const status = output.status();
      const last = lastError ?? status.lastError;
      return { ...status, failed: status.failed + failed, ...(last !== undefined && { lastError: last }) };
    },
    close: () => output.close(),
  };
};
