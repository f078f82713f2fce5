import type { Status } from './status.js';

export type Advice = {
  /** Somebody has to act. */
  readonly needed: readonly string[];
  /** Worth doing next, without hurry. */
  readonly next: readonly string[];
};

/** Below this a disk is about to fill; common practice, no source. Ten days of the usual kit's store fit in a tenth of it. */
export const leastFreeBytes = 500_000_000;
const dayMs = 86_400_000;
const soonDays = 30;

/** What a person must do, the most urgent first, and what would be good to do next. */
export const adviceOn = (status: Status): Advice => ({
  needed: [...guarding(status), ...alerts(status), ...probes(status), ...keeping(status), ...overdue(status)],
  next: later(status),
});

const guarding = ({ kit, node, nodeHolder, host }: Status): readonly string[] => {
  const kitLines = [
    ...(host.silent ?? []).map(
      (name) => `The host has no contact to the node ${name}: look whether it guards.`,
    ),
    ...(kit.trouble === undefined ? [] : [kit.trouble]),
  ];
  if (!node && nodeHolder !== undefined)
    return [
      `A node runs (${nodeHolder || 'its process says nothing'}) and does not answer: say where with --node, or restart elbowroom watch.`,
      ...kitLines,
    ];
  if (!node) return ['NOTHING GUARDS THE ENGINES. Start: elbowroom watch', ...kitLines];
  if (node.board !== 'connected')
    return [`The board is ${node.board ?? 'not reported'}: check its USB cable.`, ...kitLines];
  if (!node.passing)
    return ['The node made no pass while we listened: restart elbowroom watch.', ...kitLines];
  return kitLines;
};

const alerts = ({ node, host }: Status): readonly string[] => {
  const all = [...(node?.alerts ?? []), ...host.alerts];
  const active = all.filter(({ state }) => state !== 'rectified').length;
  const over = all.filter(
    (alert) => alert.state === 'rectified' && alert.acknowledgedAt === undefined,
  ).length;
  const counted = (count: number) => (count === 1 ? 'alert' : 'alerts');
  return [
    ...(active === 0 ? [] : [`${active} active ${counted(active)}: read and act on the page.`]),
    ...(over === 0 ? [] : [`${over} ${counted(over)} over and not acknowledged yet: read on the page.`]),
  ];
};

const probes = ({ node }: Status): readonly string[] => {
  const bad = node?.probes.filter(({ quality }) => quality !== 'good') ?? [];
  if (bad.length === 0 || node?.board !== 'connected') return [];
  return [`No reading of ${bad.map(({ name }) => name).join(', ')}: see hardware-notes/faults.md.`];
};

const keeping = ({ node, host, disk, outputs, outputsTrouble }: Status): readonly string[] => [
  ...(node && host.holder === undefined ? ['The host does not run here: nothing is stored or shown.'] : []),
  ...(node && host.holder !== undefined && host.page === 'away'
    ? ['The page does not answer. If it has another port, say so: --page http://127.0.0.1:PORT']
    : []),
  ...(disk && disk.freeBytes < leastFreeBytes ? ['The disk is nearly full: make room on it.'] : []),
  ...(outputsTrouble === undefined ? [] : [outputsTrouble]),
  ...outputs
    .filter(({ lastError, waiting = 0, dropped = 0 }) => lastError !== undefined && waiting + dropped > 0)
    .map(({ name, lastError }) => `${name}: ${lastError}`),
];

const overdue = ({ calibration, at }: Status): readonly string[] =>
  calibration
    .filter(({ dueAt }) => dueAt !== undefined && dueAt <= at)
    .map(({ name }) => `Calibrate ${name}: it is overdue.`);

const later = ({ calibration, at, kit, outputs }: Status): readonly string[] => {
  const never = calibration.filter(({ why }) => why === 'never').map(({ name }) => name);
  const soon = calibration.filter(
    ({ dueAt }) => dueAt !== undefined && dueAt > at && dueAt - at < soonDays * dayMs,
  );
  return [
    ...(never.length > 0 ? [`Never calibrated: ${never.join(', ')}. elbowroom calibrate`] : []),
    ...soon.map(({ name }) => `Calibrate ${name} within a month.`),
    ...(kit.commissioned || kit.trouble !== undefined
      ? []
      : ['Not commissioned: only fixed limits and rates guard. elbowroom commission']),
    ...(outputs.length > 0 ? [] : ['No alarm is sent ashore: elbowroom outputs --help']),
  ];
};
