import { hostname } from 'node:os';
import { resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { systemClock } from '../../node/index.js';
import {
  backfill,
  checkDestination,
  type Destination,
  Forwarder,
  forwardStatus,
  readDestination,
  tokenOf,
  uploaderTo,
  writeAddress,
  writeDestination,
} from '../forward/index.js';
import { openStore, type Store } from '../store/index.js';
import { localStamp } from '../wording/moments.js';
import { fittedTable } from '../wording/table.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { momentOf } from './moment-option.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { terminalWidth } from './terminal-width.js';
import { flagOption } from './usual-options.js';

export const forwardCommand = defineCommand({
  ...summaries.forward,
  when: 'When one boat becomes a fleet, or a dashboard ashore should follow. The store aboard stays the truth.',
  builder: (yargs) =>
    yargs
      .option('to', {
        type: 'string',
        describe:
          'Address of a server that takes the InfluxDB v2 line protocol, with the write path where it needs one; the host sends to it from its next start',
      })
      .option('boat', {
        type: 'string',
        describe: 'With --to: the name that distinguishes this boat from others',
      })
      .option('token-file', {
        type: 'string',
        describe: 'With --to: a file that holds the write token alone',
      })
      .option('status', { type: 'boolean', describe: 'How far the server is, and what it refused' })
      .option('backfill', {
        type: 'string',
        nargs: 2,
        describe: 'FROM TO: send this span again; the host does it, or --once',
      })
      .option('once', { type: 'boolean', describe: 'Send here and now until nothing is left' })
      .option('json', flagOption('With --status: one JSON document'))
      .options(storeOption)
      .example('$0 forward --to http://192.168.1.20:8428 --boat Invented', 'Begin')
      .example(
        '$0 forward --to "http://192.168.1.20:8086/api/v2/write?org=boats&bucket=season"',
        'A server that keeps several stores apart',
      )
      .example('$0 forward --backfill 2026-05-01 2026-05-08', 'One week again'),
  handler: async (options) => {
    const { dataDir, to, status, backfill: span, once, json } = options;
    if (to === undefined && !status && !span && !once)
      throw new UsageError('Say what to do: --to URL, --status, --backfill FROM TO or --once.');
    const store = openStore(dataDir, systemClock);
    try {
      const destination = to === undefined ? known(dataDir) : begin(dataDir, store, { ...options, to });
      if (span) askAgain(store, destination, span);
      if (once) await sendAll(store, destination);
      if (status) reportStatus(store, destination, json);
    } finally {
      store.close();
    }
  },
});

const known = (dataDir: string): Destination => {
  const destination = readDestination(dataDir);
  if (destination) return destination;
  throw new UsageError('No server is set. Begin with: elbowroom forward --to URL --boat NAME');
};

const begin = (
  dataDir: string,
  store: Store,
  options: {
    to: string;
    boat?: string | undefined;
    tokenFile?: string | undefined;
  },
): Destination => {
  const { to, tokenFile } = options;
  const boat = options.boat ?? store.nodes()[0]?.boat ?? hostname();
  const destination = checkDestination(
    // Whole, because the host may run in another folder.
    { ...writeAddress(to), boat, ...(tokenFile !== undefined && { tokenFile: resolve(tokenFile) }) },
    'forward --to',
  );
  // A missing or empty file is refused now, and not weeks later in a log.
  if (tokenOf(destination) === '')
    throw new UsageError(`--token-file ${tokenFile} is empty. Put the server's write token there.`);
  const path = writeDestination(dataDir, destination);
  console.error(`Written to ${path}. The host sends there from its next start; --once sends now.`);
  return destination;
};

const askAgain = (store: Store, destination: Destination, span: string | readonly string[]): void => {
  const [from, to] = [span].flat();
  const hours = backfill(store, destination, momentOf('backfill', from, 0), momentOf('backfill', to, 0));
  console.error(`${hours} hours of readings wait to be sent again. A running host does it; so does --once.`);
};

const mostFailures = 5;

const sendAll = async (store: Store, destination: Destination): Promise<void> => {
  const forwarder = new Forwarder(store, destination, uploaderTo(destination), systemClock);
  let lines = 0;
  console.error(`Sending to ${destination.url}.`);
  for (let failures = 0; ; ) {
    const result = await forwarder.step();
    if (result.kind === 'nothing-left') break;
    if (result.kind === 'sent') {
      lines += result.lines;
      failures = 0;
    } else if (++failures >= mostFailures)
      throw new UnavailableError(
        `${destination.url} does not take readings: ${result.why}. What is sent stays sent.`,
      );
    else {
      console.error(`Not taken (${failures} of ${mostFailures} attempts): ${result.why}.`);
      await pause(result.waitMs);
    }
  }
  console.error(`${lines} lines sent; nothing is left.`);
};

const reportStatus = (store: Store, destination: Destination, json: boolean): void => {
  const status = forwardStatus(store, destination);
  if (json) {
    console.log(JSON.stringify(status));
    return;
  }
  const { url, org, bucket, boat } = destination;
  const last = status.lastSentAt === 0 ? 'never' : localStamp(status.lastSentAt);
  console.log(`To ${url} (org=${org}, bucket=${bucket}) as ${boat}`);
  console.log(`Lines confirmed: ${status.sent}   refused: ${status.refused}   last: ${last}`);
  console.log(`Hours that wait to be sent again: ${status.hoursToResend}`);
  const series = status.series.map(({ channel, rate, behindS }) => [
    channel,
    rate,
    behindS === 0 ? 'all sent' : `${behindS} s behind`,
  ]);
  if (series.length > 0)
    for (const line of fittedTable([['probe', 'rate', 'how far'], ...series], {
      width: terminalWidth(),
      left: () => true,
      indent: '  ',
    }))
      console.log(line);
  for (const { line, why } of status.refusedLines.slice(0, 5))
    console.log(`  refused because ${why}: ${line}`);
};
