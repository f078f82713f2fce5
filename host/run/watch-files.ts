import { fileMark } from '../files/file-mark.js';
import type { HostAlerts } from '../live/host-alerts.js';
import { accessPath, readAccess } from '../serve/access/access-file.js';
import { refuseOpenPage } from '../serve/page-error.js';
import { readHostSettings } from '../settings/read-settings.js';
import { settingsPath } from '../settings/settings-file.js';

/**
 * Looks at the host's own files each time it is called, and raises an alert when one that was good at the start no longer
 * is: at once, and not at the next start, which may be after a power cut at sea. The alert ends when the file is right.
 * `pageAddress` is where the page listens: one on the network needs its access file.
 */
export const watchFiles = (dataDir: string, pageAddress: string, own: HostAlerts): (() => void) => {
  const watched = [
    {
      id: 'host-settings:damaged',
      rule: 'settings-damaged',
      path: settingsPath(dataDir),
      read: () => readHostSettings(dataDir),
      effect: 'The host continues with the settings of its start.',
      action: 'Correct host.yaml; elbowroom outputs checks it.',
    },
    {
      id: 'host-access:damaged',
      rule: 'access-damaged',
      path: accessPath(dataDir),
      read: () => refuseOpenPage(pageAddress, readAccess(dataDir)),
      effect: 'No one can sign in, acknowledge or change anything until it is right.',
      action: 'The page on the boat’s computer shows everything; the buzzer sounds all the same.',
    },
  ].map((file) => ({ ...file, mark: fileMark(file.path) }));
  return () => {
    for (const file of watched) {
      const { id, rule, path, read, effect, action } = file;
      const mark = fileMark(path);
      if (mark === file.mark) continue;
      file.mark = mark;
      try {
        read();
        own.clear(id);
      } catch (error) {
        const message = `${effect} ${(error as Error).message}`;
        own.raise({ id, rule, priority: 'warning', message, actions: [action] });
      }
    }
  };
};
