import { folded } from '../wording/fold.js';
import { day, dayAndTime, lastedText } from '../wording/moments.js';
import { adviceOn } from './advice.js';
import type { ActiveAlert, Status } from './status.js';

const nameWidth = 13;

/** The whole screen, at most `width` columns wide. */
export const statusText = (status: Status, width: number): string => {
  const { needed, next } = adviceOn(status);
  const lines = [
    ...field('node', nodeLine(status), width),
    ...field('board', status.node?.boardDetail ?? 'not known', width),
    ...field('host', hostLine(status), width),
    ...field('probes', probesLine(status), width),
    ...alertLines(status, width),
    ...field('stored', storedLine(status), width),
    ...field('outputs', outputsLine(status), width),
    ...field('calibration', calibrationLine(status), width),
    '',
    ...(needed.length === 0 ? ['Nothing needs you now.'] : ['Needs you:']),
    ...needed.flatMap((line) => folded(line, width, '  - ')),
    ...(next.length === 0 ? [] : ['Next, when there is time:']),
    ...next.flatMap((line) => folded(line, width, '  - ')),
  ];
  return lines.join('\n');
};

const nodeLine = ({ node }: Status): string =>
  node
    ? `${node.boat ?? 'a boat'}${node.invented ? ' (invented)' : ''} at ${node.address}, ${node.passes ?? 0} passes${node.passing ? '' : ', NONE WHILE WE LISTENED'}`
    : 'NO NODE ANSWERS';

const hostLine = ({ host }: Status): string => {
  const page = {
    answers: 'the page answers',
    'asks-for-login': 'the page asks for a pass-phrase',
    away: 'the page does not answer',
  }[host.page];
  return `${host.holder ?? 'none runs here'}; ${page}`;
};

const probesLine = ({ node }: Status): string =>
  node && node.probes.length > 0
    ? node.probes.map(({ name, text, quality }) => `${name} ${text ?? quality.toUpperCase()}`).join(', ')
    : 'not known';

const alertLines = (status: Status, width: number): readonly string[] => {
  const active = [...(status.node?.alerts ?? []), ...status.host.alerts].filter(
    ({ state }) => state !== 'rectified',
  );
  if (!status.node) return field('alerts', 'not known', width);
  if (active.length === 0) return field('alerts', 'none active', width);
  return active.flatMap((alert, i) => field(i === 0 ? 'alerts' : '', alertLine(alert, status.at), width));
};

const alertLine = ({ priority, state, message, since }: ActiveAlert, at: number): string =>
  `${priority.toUpperCase()} for ${lastedText(Math.max(0, at - since))}, ${state}: ${message}`;

const storedLine = ({ disk, lastStoredAt }: Status): string =>
  disk
    ? `${disk.storeBytes === undefined ? 'no store yet' : `${size(disk.storeBytes)}, last reading ${lastStoredAt === undefined ? 'none' : dayAndTime(lastStoredAt)}`}; ${size(disk.freeBytes)} free`
    : 'no data folder here';

const outputsLine = ({ outputs }: Status): string =>
  outputs.length === 0
    ? 'none'
    : outputs
        .map(({ name, sent, waiting, dropped }) =>
          sent === undefined ? name : `${name} (${sent} sent, ${waiting} waiting, ${dropped} dropped)`,
        )
        .join(', ');

const calibrationLine = ({ calibration }: Status): string => {
  const dated = calibration.flatMap(({ name, dueAt }) => (dueAt === undefined ? [] : [{ name, dueAt }]));
  const first = dated.sort((a, b) => a.dueAt - b.dueAt)[0];
  const without = calibration.length - dated.length;
  const parts = [
    ...(first ? [`first due ${first.name}, ${day(first.dueAt)}`] : []),
    ...(without > 0 ? [`${without} of ${calibration.length} probes without a certificate`] : []),
  ];
  return parts.join('; ') || 'not known';
};

const size = (bytes: number): string =>
  bytes >= 1e9 ? `${(bytes / 1e9).toFixed(1)} GB` : `${(bytes / 1e6).toFixed(1)} MB`;

const field = (name: string, text: string, width: number): readonly string[] =>
  folded(text, width, name.padEnd(nameWidth), ' '.repeat(nameWidth));
