import { copyFileSync, existsSync, readFileSync } from 'node:fs';
import { dirname, relative, resolve, sep } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import {
  type Assessment,
  assess,
  type BaselineFile,
  type BuzzerProof,
  CommissionBook,
  dippedIn,
  loadKit,
  parseBaseline,
  settingsFromKit,
  systemClock,
} from '../../node/index.js';
import { certificatesInForce } from '../calibrate/certificate-files.js';
import { guardLines } from '../calibrate/guard-lines.js';
import { baselineText } from '../commission/baseline-text.js';
import { commissionText } from '../commission/commission-text.js';
import { replay } from '../replay/replay.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { readable } from '../wording/degrees.js';
import { localStamp } from '../wording/moments.js';
import { defineCommand } from './define-command.js';
import { BadAnswerError } from './exit.js';
import { recordedHistory } from './recorded-history.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { flagOption, jsonOption, kitOption } from './usual-options.js';

export const commissionCommand = defineCommand({
  ...summaries.commission,
  when: 'After the probes are fitted, again after each step that it names, and after work on the cooling.',
  caution:
    'The hot dip is near-boiling water: gloves, no children. The sea trial needs a second person at the helm, so that no one steers by a screen. Keep clear of belts and hot exhaust; at a smell of exhaust or a carbon-monoxide alarm stop the engine and get into fresh air.',
  builder: (yargs) =>
    yargs
      .option('from', {
        type: 'string',
        describe: 'First moment to learn from, such as 2026-05-01: after the last work done',
      })
      .option('to', { type: 'string', describe: 'End of the span, not included' })
      .options(kitOption)
      .option('out', {
        type: 'string',
        default: 'baseline.yaml',
        describe: 'The file to write; the one before is kept beside it',
      })
      .option(
        'buzzer-confirmed',
        flagOption(
          'You heard the buzzer at the helm during the hot dip; give it once; it is stored with the date',
        ),
      )
      .option('import', {
        type: 'string',
        describe:
          'A file instead of the store: whatever elbowroom import takes, such as CSV time,channel,temperatureC',
      })
      .options(storeOption)
      .option('dry-run', flagOption('Show everything, write nothing'))
      .options(jsonOption)
      .example('$0 commission', 'What is done, what is still open')
      .example(
        '$0 commission --from 2026-05-01T00:00:00Z --buzzer-confirmed',
        'Learn again since the new impeller',
      ),
  handler: async (options) => {
    const { from, to, kit: kitPath, out, buzzerConfirmed, import: csvPath, dataDir, dryRun, json } = options;
    const degrees = chosenDegrees(options);
    const kit = loadKit(kitPath);
    const settings = settingsFromKit(kit);
    console.error('Reading what was recorded.');
    const history = await recordedHistory({ from, to, csvPath, dataDir, node: kit.node }, settings);
    console.error('Running the guard over it.');
    const book = new CommissionBook(settings);
    let span: { first: number; last: number } | undefined;
    const { alerts } = replay(history, settings, (state) => {
      span = { first: span?.first ?? state.atMs, last: state.atMs };
      book.take(state);
    });
    const before = earlierBaseline(out);
    const madeAt = new Date(systemClock.wallMs()).toISOString();
    const buzzer = buzzerProof(
      before?.buzzer,
      buzzerConfirmed ? madeAt : undefined,
      dippedIn(book, settings),
    );
    const assessment = assess(book, settings, buzzer);
    const file = baselineOf(assessment, {
      book,
      boat: kit.boat.name,
      issue: (before?.issue ?? 0) + 1,
      madeAt,
      buzzer,
      span: span ?? { first: 0, last: 0 },
    });
    const fitted = Object.keys(file.elbows).length > 0;
    console.log(
      json
        ? JSON.stringify({ ...assessment, file })
        : commissionText({ ...assessment, elbows: file.elbows }, degrees),
    );
    const inForce = await certificatesInForce(kit.probes, dirname(kitPath));
    for (const line of guardLines(kit.probes, inForce, degrees)) console.error(line);
    for (const alert of alerts.filter((a) => a.priority !== 'caution'))
      console.error(
        `Note: this history contains this ${alert.priority} (${readable(degrees, alert.message)}) at ${localStamp(alert.at)}. If it was real, learn from another span.`,
      );
    if ((fitted || buzzerConfirmed) && !dryRun) {
      if (existsSync(out)) copyFileSync(out, `${out}.${before ? `issue-${before.issue}` : 'unusable'}`);
      writeFileAtomic(out, baselineText(file));
      console.error(
        `Wrote ${out}, issue ${file.issue}. Name it in ${kitPath} (baseline: ${seenFromKit(kitPath, out)}), then restart the node.`,
      );
    }
    const notArmed = notArmedOf(assessment, file);
    if (notArmed.length > 0)
      throw new BadAnswerError(
        `The learned detector stays off for ${notArmed.join(' and ')}: see the open steps. The plain detector guards all the same; where only the spread is too wide, also against the highest rises of these trips.`,
      );
  },
});

/** The file as it is written: without a proven buzzer no elbow is armed. */
const baselineOf = (
  { steps, elbows }: Assessment,
  about: {
    readonly book: CommissionBook;
    readonly boat: string;
    readonly issue: number;
    readonly madeAt: string;
    readonly buzzer: BuzzerProof | undefined;
    readonly span: { readonly first: number; readonly last: number };
  },
): BaselineFile => {
  const { book, boat, issue, madeAt, buzzer, span } = about;
  const proven = steps[0]?.done === true;
  return {
    baseline: 1,
    issue,
    boat,
    madeAt,
    learnedFrom: {
      from: new Date(span.first).toISOString(),
      to: new Date(span.last).toISOString(),
      trips: Math.min(...[...book.engines.values()].map(({ trips }) => trips)),
    },
    ...(buzzer && { buzzer }),
    elbows: Object.fromEntries(
      Object.entries(elbows).map(([id, elbow]) => [
        id,
        proven ? elbow : { ...elbow, armed: false, because: ['the buzzer is not proven', ...elbow.because] },
      ]),
    ),
  };
};

const notArmedOf = (assessment: Assessment, { elbows }: BaselineFile): readonly string[] => [
  ...Object.keys(assessment.unfitted),
  ...Object.entries(elbows)
    .filter(([, elbow]) => !elbow.armed)
    .map(([id]) => id),
];

/** A kit file names what is beside it by its place beside the kit, wherever the command is given. */
const seenFromKit = (kitPath: string, out: string): string =>
  relative(dirname(resolve(kitPath)), resolve(out))
    .split(sep)
    .join('/');

/** The owner's confirmation, new or kept from before, with every probe that was dipped so far. */
const buzzerProof = (
  before: BuzzerProof | undefined,
  confirmedNowAt: string | undefined,
  dippedNow: readonly string[],
): BuzzerProof | undefined => {
  const confirmedAt = confirmedNowAt ?? before?.confirmedAt;
  if (confirmedAt === undefined) return undefined;
  return { confirmedAt, dipped: [...new Set([...(before?.dipped ?? []), ...dippedNow])] };
};

/** The baseline that is there; one that cannot be used (a disk was full) must not keep a new one from being made. */
const earlierBaseline = (path: string): BaselineFile | undefined => {
  if (!existsSync(path)) return undefined;
  try {
    return parseBaseline(readFileSync(path, 'utf8'), path);
  } catch (error) {
    console.error(`${(error as Error).message}\nIt is kept as ${path}.unusable.`);
    return undefined;
  }
};
