import { dirname, join } from 'node:path';
import { type Clock, loadKit, quantityAt } from '../../node/index.js';
import { certificatesInForce } from '../calibrate/certificate-files.js';
import { calibrationDue } from '../engine-health/calibration-due.js';
import { outputNames } from '../outputs/output-names.js';
import { hostFolderIn, nodeFoldersIn } from '../settings/data-folders.js';
import { readHostSettings } from '../settings/read-settings.js';
import type { HostSettings } from '../settings/schema.js';
import { holderOf } from '../supervise/data-folder.js';
import type { Degrees } from '../wording/degrees.js';
import { askHost, lookAtDisk } from './ask-host.js';
import { askNode } from './ask-node.js';
import type { DueStatus, Status } from './status.js';

export type StatusOptions = {
  readonly kitPath: string;
  /** The boat's data folder. */
  readonly dataDir: string;
  /** Where the node is; where the kit says unless given. */
  readonly nodeAddress: string | undefined;
  readonly pageUrl: string;
  readonly token: string | undefined;
  readonly degrees: Degrees;
  readonly clock: Clock;
};

/** Looks at everything at once; what cannot be asked is absent and nothing waits longer than some seconds. */
export const gatherStatus = async (options: StatusOptions): Promise<Status> => {
  const { kitPath, clock } = options;
  const hostFolder = hostFolderIn(options.dataDir);
  const { kit, trouble } = readKit(kitPath);
  const listen = kit?.link.over === 'tcp' ? kit.link.listen : '127.0.0.1:8472';
  const [node, holder, nodeHolders, host] = await Promise.all([
    askNode(options.nodeAddress ?? listen, options.degrees),
    holderOf(hostFolder),
    Promise.all(nodeFoldersIn(options.dataDir).map((name) => holderOf(join(options.dataDir, name)))),
    askHost(options.pageUrl, options.token),
  ]);
  const nodeHolder = nodeHolders.find((found) => found !== undefined);
  const { settings, settingsTrouble } = readSettings(hostFolder);
  const inForce = kit ? await certificatesInForce(kit.probes, dirname(kitPath)) : {};
  const due: readonly DueStatus[] =
    host.due ??
    kit?.probes
      .filter(({ place }) => quantityAt[place] === 'temperature')
      .map(({ id, name, certificate }) =>
        calibrationDue(
          { id, name, certificateInUse: certificate },
          inForce[id],
          [],
          settings?.calibrateEveryDays,
        ),
      ) ??
    [];
  return {
    at: clock.wallMs(),
    kit: {
      path: kitPath,
      commissioned: kit?.baseline !== undefined,
      ...(trouble !== undefined && { trouble }),
    },
    ...(node && { node }),
    ...(nodeHolder !== undefined && { nodeHolder }),
    host: {
      page: host.page,
      alerts: host.alerts,
      silent: host.silent,
      ...(holder !== undefined && { holder }),
    },
    ...lookAtDisk(hostFolder),
    outputs: host.outputs ?? (settings ? outputNames(settings).map((name) => ({ name })) : []),
    ...(settingsTrouble !== undefined && { outputsTrouble: settingsTrouble }),
    calibration: due,
  };
};

const readKit = (path: string) => {
  try {
    return { kit: loadKit(path), trouble: undefined };
  } catch (error) {
    return { kit: undefined, trouble: (error as Error).message };
  }
};

const readSettings = (
  hostFolder: string,
): { readonly settings?: HostSettings; readonly settingsTrouble?: string } => {
  try {
    return { settings: readHostSettings(hostFolder) };
  } catch (error) {
    return { settingsTrouble: (error as Error).message };
  }
};
