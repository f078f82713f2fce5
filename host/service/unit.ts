export type UnitOptions = {
  /** Absolute paths of node, of this program's entry and of the boat's folder. */
  readonly nodePath: string;
  readonly entryPath: string;
  readonly folder: string;
  readonly user: string;
  /** Arguments of `elbowroom watch`, each without line breaks. */
  readonly watchArguments: readonly string[];
};

/** How long systemd waits for a sign of the supervisor before it starts the whole again. */
const watchdogS = 30;

/** One word of ExecStart: systemd reads % as a specifier and $ as a variable, and splits at blanks (systemd.service(5)). */
const word = (text: string): string => {
  const escaped = text
    .replaceAll('\\', '\\\\')
    .replaceAll('"', '\\"')
    .replaceAll('%', '%%')
    .replaceAll('$', '$$$$');
  return /[\s"'\\;]/.test(text) || text === '' ? `"${escaped}"` : escaped;
};

/** The unit that starts `elbowroom watch` with the computer, for /etc/systemd/system. See systemd.service(5). */
export const unitText = ({
  nodePath,
  entryPath,
  folder,
  user,
  watchArguments,
}: UnitOptions): string => `# Written by: elbowroom service install
# This kit does not replace the engine's own alarms.
[Unit]
Description=Elbowroom: guards the engines and shows the page
# No network is waited for: the guard needs none. Started again for ever.
StartLimitIntervalSec=0

[Service]
Type=exec
User=${user}
# The group of serial ports on Debian.
SupplementaryGroups=dialout
WorkingDirectory=${folder.replaceAll('%', '%%')}
ExecStart=${[nodePath, entryPath, 'watch', ...watchArguments].map(word).join(' ')}
Restart=always
RestartSec=1
TimeoutStopSec=10
# The supervisor gives a sign while it works; it watches the passes of the node itself.
WatchdogSec=${watchdogS}
NotifyAccess=all
Nice=-5
OOMScoreAdjust=-500

[Install]
WantedBy=multi-user.target
`;
