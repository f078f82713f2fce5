import { dirname, resolve } from 'node:path';
import type { Logger } from 'pino';
import { pino } from 'pino';
import { type Clock, secretFile, systemClock } from '../../node/index.js';
import { backupAfterVoyages } from '../backup/after-voyage.js';
import { writeSeasonWhenKnown } from '../demo-season/write-when-known.js';
import { type RunningForwarder, readDestination, runForwarder } from '../forward/index.js';
import { Live, startLink } from '../link/index.js';
import { type RunningOutput, startOutputs, watchOutputs } from '../outputs/index.js';
import { servePage } from '../serve/serve-page.js';
import type { HostSettings } from '../settings/schema.js';
import type { Store } from '../store/index.js';
import { type LatePage, pageOrWait } from './late-page.js';
import { accessToStartWith, settingsToStartWith, storeToStartWith } from './start-in-doubt.js';
import { watchFiles } from './watch-files.js';

export type HostOptions = {
  readonly dataDir: string;
  /** 0 takes a free port. */
  readonly pagePort: number;
  /** Address the page listens on; loopback unless set otherwise. */
  readonly pageListen?: string;
  /** `host:port` or `serial:///dev/ttyUSB1`, one for each node. */
  readonly nodes: readonly string[];
  /** The file with the link secret; without it the nodes take no commands from this host. */
  readonly linkSecret?: string;
  /** The bench's control endpoint, where there is a bench. */
  readonly controlPort?: number;
  /** The kit file, where it is on this computer: for the Set-up and Calibrate screens. */
  readonly kitPath?: string;
  /** Certificate and key in PEM files; the page is then served over https. */
  readonly tls?: { readonly certPath: string; readonly keyPath: string };
  /** Fills an empty store with a season of invented history once an invented boat has connected; needs its kit file. */
  readonly season?: boolean;
  /** With it, a page port in use does not end the host: it stores and sends, and tries the port again. */
  readonly latePage?: LatePage;
  /** Started by the system and not by a person: wrong settings raise an alert and do not end the host. */
  readonly unattended?: boolean;
  readonly clock?: Clock;
  readonly log?: Logger;
};

export type RunningHost = {
  /** Where the page is; undefined while it waits for its port. */
  readonly page: string | undefined;
  /** Commits, and closes page, links and store. */
  close(): Promise<void>;
};

/**
 * Receives from the nodes, stores it and shows it. The guard and the buzzer do not depend on any of it.
 * Throws `LinkError`, `StoreError`, `PageError`, `AccessError` and `SettingsError` for what the owner must correct.
 */
export const runHost = async (options: HostOptions): Promise<RunningHost> => {
  const { dataDir, nodes, clock = systemClock, log = pino({ enabled: false }) } = options;
  const unattended = options.unattended ?? false;
  const { settings, trouble: settingsTrouble } = settingsToStartWith(dataDir, unattended);
  const { trouble: accessTrouble, ...access } = accessToStartWith(options, unattended);
  const { store, trouble: storeTrouble } = storeToStartWith(dataDir, clock, unattended);
  const live = new Live(clock);
  live.recall(store);
  for (const trouble of [settingsTrouble, accessTrouble, storeTrouble])
    if (trouble) {
      log.error(trouble.message);
      live.own.raise({ priority: 'warning', ...trouble });
    }
  const secret =
    options.linkSecret === undefined
      ? () => undefined
      : secretFile(options.linkSecret, { onTrouble: (why) => log.warn(why) });
  const link = startLinkOrClose(store, () => startLink({ addresses: nodes, store, live, clock, secret }));
  let outputs: RunningOutput | undefined;
  const watchTheOutputs = watchOutputs(live.own);
  const everySecond = [
    () => store.intake.tick(),
    watchStore(store, live, log),
    watchFiles(dataDir, accessTrouble ? '127.0.0.1' : (options.pageListen ?? '127.0.0.1'), live.own),
    () => watchTheOutputs(outputs?.status() ?? []),
  ];
  const tick = setInterval(() => runEach(everySecond, log), 1000);
  const stopSeason = writeSeason(options, { store, live, clock, log });
  const stopBackups = startBackups(options, settings, { live, clock });
  let forwarder: RunningForwarder | undefined;
  const closeAll = async () => {
    clearInterval(tick);
    stopSeason?.();
    stopBackups?.();
    await outputs?.stop();
    await forwarder?.close();
    await link.close();
    store.close();
  };
  try {
    forwarder = startForwarder({ dataDir, store, live, clock, log });
    outputs = startOutputs({ settings, dataDir, live, clock, log: (words) => log.warn(words) });
    const page = await pageOrWait(options.latePage, live.own, () =>
      servePage({
        live,
        store,
        clock,
        ...access,
        ...(settings.degrees !== undefined && { degrees: settings.degrees }),
        ...(settings.calibrateEveryDays !== undefined && { calibrateEveryDays: settings.calibrateEveryDays }),
        metrics: settings.metrics ?? false,
        outputs: () => outputs?.status() ?? [],
        log: (words) => log.info(words),
        port: options.pagePort,
        ...(options.pageListen !== undefined && !accessTrouble && { address: options.pageListen }),
        ...(options.kitPath !== undefined && { kitPath: options.kitPath }),
        ...(options.controlPort !== undefined && { controlPort: options.controlPort }),
      }),
    );
    return {
      page: page.url,
      close: async () => {
        await page.close();
        await closeAll();
      },
    };
  } catch (cause) {
    await closeAll();
    throw cause;
  }
};

type Parts = { readonly store: Store; readonly live: Live; readonly clock: Clock; readonly log: Logger };

/** One part that fails does not stop the others. */
const runEach = (parts: readonly (() => void)[], log: Logger): void => {
  for (const part of parts)
    try {
      part();
    } catch (error) {
      log.error({ err: error }, 'A part of the host failed; the others continue.');
    }
};

const writeSeason = ({ season, kitPath }: HostOptions, { log, ...parts }: Parts): (() => void) | undefined =>
  season && kitPath !== undefined
    ? writeSeasonWhenKnown({ ...parts, kitPath, log: (text) => log.info(text) })
    : undefined;

const startBackups = (
  { kitPath, dataDir }: HostOptions,
  { backup }: HostSettings,
  parts: Pick<Parts, 'live' | 'clock'>,
): (() => void) | undefined =>
  backup && kitPath !== undefined
    ? backupAfterVoyages({
        settings: backup,
        folders: { kitPath, dataDir: dirname(resolve(dataDir)) },
        ...parts,
      })
    : undefined;

/** The server is optional and its token may be on a USB stick that is not plugged in: the host stores all the same. */
const startForwarder = ({
  dataDir,
  store,
  live,
  clock,
  log,
}: Parts & { readonly dataDir: string }): RunningForwarder | undefined => {
  try {
    const destination = readDestination(dataDir);
    return destination && runForwarder(store, destination, clock, (words) => log.warn(words));
  } catch (error) {
    const { message } = error as Error;
    log.error(message);
    live.own.raise({
      id: 'host-forward:not-started',
      rule: 'forward-not-started',
      priority: 'caution',
      message: `Nothing is sent to the time-series server. ${message}`,
      actions: ['Everything is still stored aboard.', 'Correct it, then restart the host.'],
    });
    return undefined;
  }
};

const startLinkOrClose = <T>(store: Store, start: () => T): T => {
  try {
    return start();
  } catch (cause) {
    store.close();
    throw cause;
  }
};

/** A store that cannot write is an alert like any other; it ends when the store writes again. Logged once each time. */
const watchStore = (store: Store, live: Live, log: Logger): (() => void) => {
  const id = 'host-store:cannot-write';
  let logged: string | undefined;
  return () => {
    const trouble = store.intake.trouble();
    // The disk that is full may be the one that the log goes to.
    if (trouble && trouble.message !== logged) log.error(trouble.message);
    logged = trouble?.message;
    if (!trouble) {
      live.own.clear(id);
      return;
    }
    live.own.raise({
      id,
      rule: 'store-cannot-write',
      priority: 'warning',
      message: trouble.message,
      actions: [
        'Free space on that disk, or check whether it still responds.',
        'No restart is needed: storing continues by itself.',
      ],
    });
  };
};
