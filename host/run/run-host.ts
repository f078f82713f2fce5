import { dirname, resolve } from 'node:path';
import type { Logger } from 'pino';
import { pino } from 'pino';
import { type Clock, secretFile, systemClock } from '../../node/index.js';
import { backupAfterVoyages } from '../backup/after-voyage.js';
import { laySeasonWhenKnown } from '../demo-season/lay-when-known.js';
import { type RunningForwarder, readDestination, runForwarder } from '../forward/index.js';
import { Live, startLink } from '../link/index.js';
import { type RunningOutput, startOutputs, watchOutputs } from '../outputs/index.js';
import { servePage } from '../serve/serve-page.js';
import { openStore, type Store } from '../store/index.js';
import { type LatePage, pageOrWait } from './late-page.js';
import { accessToStartWith, settingsToStartWith } from './start-in-doubt.js';

export type HostOptions = {
  readonly dataDir: string;
  /** 0 takes a free port. */
  readonly pagePort: number;
  /** Address the page listens on; loopback unless set otherwise. */
  readonly pageListen?: string;
  /** `host:port` or `serial:///dev/ttyUSB1`, one for each node. */
  readonly nodes: readonly string[];
  /** The file that holds what the nodes must see to obey this host; without it the host can only look. */
  readonly linkSecret?: string;
  /** The bench's control endpoint, where there is a bench. */
  readonly controlPort?: number;
  /** The kit file, where it lies on this computer: for the Set-up and Calibrate screens. */
  readonly kitPath?: string;
  /** Certificate and key in PEM files; the page is then served over https. */
  readonly tls?: { readonly certPath: string; readonly keyPath: string };
  /** Lays a season of invented history into an empty store, once an invented boat has spoken; needs her kit file. */
  readonly season?: boolean;
  /** With it, a page port that is taken does not end the host: it stores and sends, and tries the page again. */
  readonly latePage?: LatePage;
  /** Nobody typed it just now: settings with a slip are an alert and do not end the host. */
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
 * Listens to the nodes, keeps what they say, shows it. The guard and the buzzer do not depend on any of it.
 * Throws `LinkError`, `StoreError`, `PageError`, `AccessError` and `SettingsError` for what the owner must correct.
 */
export const runHost = async (options: HostOptions): Promise<RunningHost> => {
  const { dataDir, nodes, clock = systemClock, log = pino({ enabled: false }) } = options;
  const unattended = options.unattended ?? false;
  const { settings, trouble: settingsTrouble } = settingsToStartWith(dataDir, unattended);
  const { trouble: accessTrouble, ...doors } = accessToStartWith(options, unattended);
  const store = openStore(dataDir, clock);
  const live = new Live(clock);
  live.recall(store);
  for (const trouble of [settingsTrouble, accessTrouble])
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
  const watchTheStore = watchStore(store, live, log);
  const watchTheOutputs = watchOutputs(live.own);
  const tick = setInterval(() => {
    for (const part of [
      () => store.intake.tick(),
      watchTheStore,
      () => watchTheOutputs(outputs?.status() ?? []),
    ])
      try {
        part();
      } catch (error) {
        log.error({ err: error }, 'A part of the host failed; the others go on.');
      }
  }, 1000);
  const stopSeason =
    options.season && options.kitPath !== undefined
      ? laySeasonWhenKnown({ store, live, clock, kitPath: options.kitPath, log: (text) => log.info(text) })
      : undefined;
  const { backup } = settings;
  const stopBackups =
    backup && options.kitPath !== undefined
      ? backupAfterVoyages({
          settings: backup,
          folders: { kitPath: options.kitPath, dataDir: dirname(resolve(dataDir)) },
          ...{ live, clock },
        })
      : undefined;
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
    forwarder = forwardOrSay({ dataDir, store, live, clock, log });
    outputs = startOutputs({ settings, dataDir, live, clock, log: (words) => log.warn(words) });
    const page = await pageOrWait(options.latePage, live.own, () =>
      servePage({
        live,
        store,
        clock,
        ...doors,
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

/** A server that is optional, and whose token may lie on a stick that is out, does not keep the host from storing. */
const forwardOrSay = ({
  dataDir,
  store,
  live,
  clock,
  log,
}: {
  readonly dataDir: string;
  readonly store: Store;
  readonly live: Live;
  readonly clock: Clock;
  readonly log: Logger;
}): RunningForwarder | undefined => {
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
      actions: ['Everything is stored aboard all the same.', 'Put it right, then restart the host.'],
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

/** The store's trouble is an alert like any other: shown, explained, and gone when it is over. Logged once each time. */
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
        'Make room on that disk, or look whether it still answers.',
        'Nothing needs a restart: it goes on by itself.',
      ],
    });
  };
};
