import type { AlertRow } from '../../../node/index.js';
import { type Degrees, pointText, readable, spanText } from '../../wording/degrees.js';
import { instructionText } from '../../wording/instruction.js';
import { localStamp } from '../../wording/moments.js';
import type { Change, Message, ProbeNow } from './message.js';

/** What is known when a message is written. */
export type Scene = {
  readonly boat: string;
  readonly invented: boolean;
  readonly nowMs: number;
  /** Unit of the text; numeric fields stay Celsius. */
  readonly degrees: Degrees;
  readonly active: readonly AlertRow[];
  readonly readings: readonly ProbeNow[];
  /** Messages that were given up since the last one that was delivered. */
  readonly givenUp: number;
};

const oneLine = (text: string) => text.replace(/\s+/g, ' ').trim();

const headline = (scene: Scene, change: Change): string => {
  if (!('alert' in change))
    return change.kind === 'silent' ? `no contact with ${change.node}` : `${change.node} sends again`;
  const { alert } = change;
  const said = readable(scene.degrees, alert.message);
  if (change.kind === 'ended') return `ended: ${said}`;
  const reported = instructionText(alert);
  return `${alert.priority.toUpperCase()}${change.kind === 'worse' ? ', worse' : ''}: ${reported && `${reported}. `}${said}`;
};

const severity = (change: Change): number => {
  if (!('alert' in change)) return change.kind === 'silent' ? 2 : 0;
  if (change.kind === 'ended') return 0;
  return { alarm: 3, warning: 2, caution: 1 }[change.alert.priority];
};

const reported = (scene: Scene, change: Change): string => {
  const lines = [`${localStamp(change.at)}  ${headline(scene, change)}`];
  if (change.kind === 'silent')
    lines.push(
      change.lastHeardAt === undefined
        ? '  It has sent nothing since the host started.'
        : `  It last sent ${localStamp(change.lastHeardAt)}. Its buzzer works without the host; nothing is known here.`,
    );
  if (change.kind === 'raised' || change.kind === 'worse') {
    const { roomC } = change.alert.evidence;
    if (roomC !== undefined) lines.push(`  room left: ${spanText(scene.degrees, roomC)}`);
    lines.push(...change.alert.actions.map((action, index) => `  ${index + 1}. ${action}`));
  }
  return lines.join('\n');
};

const valueText = (degrees: Degrees, { temperatureC, pressureKpa, speedRpm, quality }: ProbeNow): string => {
  if (temperatureC !== undefined) return pointText(degrees, temperatureC);
  if (pressureKpa !== undefined) return `${pressureKpa.toFixed(0)} kPa`;
  if (speedRpm !== undefined) return `${speedRpm.toFixed(0)} rpm`;
  return `no reading (${quality})`;
};

const readingLine = (degrees: Degrees, probe: ProbeNow): string => {
  const { name, minC, maxC } = probe;
  const span =
    minC === undefined || maxC === undefined
      ? ''
      : `   ${degrees.point(minC).toFixed(1)} to ${pointText(degrees, maxC)}`;
  return `  ${name}: ${valueText(degrees, probe)}${span}`;
};

const footer =
  'Sent by Elbowroom. A message can come late or not at all; the buzzer aboard does not depend on it.';

const inventedNote = 'This boat is invented: a bench, not a boat at sea.';

const body = (scene: Scene, ...paragraphs: readonly string[]): string =>
  [
    ...paragraphs.filter((p) => p !== ''),
    ...(scene.givenUp > 0
      ? [`${scene.givenUp} earlier message(s) could not be delivered and were given up.`]
      : []),
    ...(scene.invented ? [inventedNote] : []),
    footer,
  ].join('\n\n');

const activeText = (scene: Scene): string =>
  scene.active.length === 0
    ? 'No active alerts.'
    : `Active:\n${scene.active.map((a) => `  ${a.priority.toUpperCase()}: ${readable(scene.degrees, a.message)} (${a.state})`).join('\n')}`;

const readingsText = ({ readings, degrees }: Scene, heading: string): string =>
  readings.length === 0 ? '' : `${heading}\n${readings.map((r) => readingLine(degrees, r)).join('\n')}`;

const shared = ({ boat, invented, nowMs, active, readings }: Scene) => ({
  at: nowMs,
  boat,
  invented,
  active,
  readings,
});

const subjectOf = (scene: Scene, words: string) =>
  oneLine(`${scene.boat}${scene.invented ? ' (invented)' : ''}: ${words}`).slice(0, 150);

/** One message for all changes, the most severe named in the subject. */
export const composeChanges = (
  scene: Scene,
  changes: readonly Change[],
  unlisted: number,
  id: string,
): Message => {
  const mostSevere = changes.reduce((a, b) => (severity(b) > severity(a) ? b : a));
  const more = changes.length + unlisted - 1;
  return {
    id,
    kind: 'alerts',
    ...shared(scene),
    subject: subjectOf(scene, `${headline(scene, mostSevere)}${more > 0 ? ` and ${more} more` : ''}`),
    text: body(
      scene,
      ...changes.map((change) => reported(scene, change)),
      unlisted > 0 ? `${unlisted} older change(s) are not listed; the store aboard has them all.` : '',
      activeText(scene),
      readingsText(scene, 'Now:'),
    ),
    changes,
  };
};

/** What the day's message says first. Quiet is only what is known to be quiet: every probe reads and no alert is active. */
const dailyWords = ({ active, readings }: Scene): string => {
  if (active.length > 0) return `${active.length} active alert(s)`;
  if (readings.length === 0) return 'no readings from the probes';
  const silent = readings.filter(({ quality }) => quality !== 'good').length;
  return silent === 0 ? 'all quiet' : `no alert, but ${silent} of ${readings.length} probes do not read`;
};

/** The daily sign of life, so that its absence is noticed. */
export const composeSignOfLife = (scene: Scene, at: string, id: string): Message => ({
  id,
  kind: 'sign-of-life',
  ...shared(scene),
  subject: subjectOf(scene, dailyWords(scene)),
  text: body(
    scene,
    `Sign of life of ${localStamp(scene.nowMs)}.`,
    activeText(scene),
    readingsText(scene, 'Now, and the span since the last sign of life:'),
    `The next one comes tomorrow at ${at}, by the boat's clock. If it does not come, check the boat: computer, power or network is silent, and so would be an alarm.`,
  ),
  changes: [],
});

export const composeTrial = (scene: Scene, id: string): Message => ({
  id,
  kind: 'trial',
  ...shared(scene),
  subject: subjectOf(scene, 'trial message'),
  text: body(scene, 'A test message, sent by the owner. Nothing has happened.', activeText(scene)),
  changes: [],
});
