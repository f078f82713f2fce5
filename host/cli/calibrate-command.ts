import { dirname, resolve } from 'node:path';
import {
  type Bath,
  certificateText,
  type Session,
  startSession,
  toleranceClass,
} from '../../calibration/index.js';
import { type Kit, loadKit, systemClock } from '../../node/index.js';
import { certificatesInForce, readCertificate } from '../calibrate/certificate-files.js';
import { inputOf, isThermometer } from '../calibrate/probe-inputs.js';
import { ProgressDisplay } from '../calibrate/progress-display.js';
import { differenceFrom, kitDifferenceFrom, stillToTake } from '../calibrate/resume.js';
import { runSession } from '../calibrate/run-session.js';
import { unfinishedSession } from '../calibrate/session-file.js';
import { underCertificates } from '../calibrate/under-certificates.js';
import { cautions, instructions } from '../calibrate/words.js';
import { makeFolder } from '../files/make-folder.js';
import { nodeAnswers } from '../link/answers.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { type Degrees, readable } from '../wording/degrees.js';
import { askedPressure } from './ask-pressure.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { finishCalibration } from './finish-calibration.js';
import { nodeAddressOf } from './node-address-of.js';
import { bathFrom, placeOptions, referenceFor, referenceOption } from './place-options.js';
import { settlingFrom, settlingOptions } from './settling-options.js';
import { summaries } from './summaries.js';
import { flagOption, jsonOption, kitOption, nodeOption, textOption } from './usual-options.js';

export const calibrateCommand = defineCommand({
  ...summaries.calibrate,
  when: 'Before the probes are fitted, at the table, with elbowroom watch running in another window. The buzzer sounds at the boil.',
  caution:
    'Boiling water and steam scald: engines off and cold, gloves, a heavy pot that cannot tip, no children, mains leads away. Hatch open over the cooker (carbon monoxide), and never let the pot boil dry.',
  builder: (yargs) =>
    yargs
      .options({
        ...kitOption,
        ...nodeOption,
        probe: { ...textOption('Only this probe; repeat for more'), array: true },
        bath: {
          ...textOption(
            'ice (kitchen ice, tap water), packed-ice (crushed, distilled, packed, drained), boiling, or T:u for a reference thermometer in C, T alone with --reference (140.4F:0.2 for Fahrenheit); repeat, in order. Default: ice, then boiling',
          ),
          array: true,
        },
        ...placeOptions,
        ...referenceOption,
        wire: {
          choices: toleranceClass.options,
          describe: 'Tolerance class of the thermocouple wire; iec-2 when absent',
        },
        out: textOption('Folder for certificates; beside the kit when absent'),
        ...settlingOptions,
        fresh: flagOption('Forget an unfinished session'),
        show: textOption('Only print this certificate'),
        ...jsonOption,
      })
      .example(
        '$0 calibrate --pressure-hpa 1009 --altitude-m 3 --probe port-elbow',
        'Ice, then boiling water',
      )
      .example('$0 calibrate --altitude-m 3 --bath ice --bath boiling --bath 60.2:0.1', 'A third point'),
  handler: async (options) => {
    if (options.show !== undefined) return showCertificate(options.show, options.json);
    const { rules, asked, timeoutS } = settlingFrom(options);
    const kit = await loadKit(options.kit);
    const probes = thermometersOf(kit, options.probe);
    const node = nodeAddressOf(kit, options.node);
    const degrees = chosenDegrees({ degrees: options.degrees });
    const folder = resolve(options.out ?? `${dirname(options.kit)}/certificates`);
    const left = options.fresh ? undefined : await leftIn(folder);
    // Before anything is asked of a person.
    if (left) {
      const differs =
        kitDifferenceFrom(left, kit.probes, options.wire) ??
        differenceFrom(left, { probes: options.probe, rules: asked });
      expectSame(differs, folder, degrees);
    }
    const baths = await bathsOf(options, left, { degrees, folder });
    const inputs = Object.fromEntries(probes.map((p) => [p.id, inputOf(p, options.wire ?? 'iec-2')]));
    try {
      makeFolder(folder);
    } catch (error) {
      throw new UnavailableError(`Cannot make ${folder}: ${(error as Error).message}`, { cause: error });
    }

    if (!(await nodeAnswers(node)))
      throw new UnavailableError(
        `No node answers at ${node}. Start it in another window and leave it running: elbowroom watch --kit ${options.kit}`,
      );

    const session = await takeBaths(
      left ?? startSession(inputs, rules),
      stillToTake(baths, left?.done ?? []),
      {
        ...{ folder, node, timeoutS, degrees },
        goesOn: left !== undefined,
        inForce: await certificatesInForce(probes, dirname(options.kit)),
      },
    );
    if (!session) {
      console.error(
        `Stopped. What was taken is kept; run the same command to continue (or --fresh to start again).`,
      );
      process.exitCode = 130;
      return;
    }
    await finishCalibration(session, folder, options.kit, kit.probes, { json: options.json, degrees });
  },
});

/** The thermometers of a kit, or those of them that were asked for. */
const thermometersOf = ({ probes }: Kit, wanted: readonly string[] = []): Kit['probes'] => {
  const unknown = wanted.find((id) => !probes.some((p) => p.id === id));
  if (unknown !== undefined)
    throw new UsageError(`--probe ${unknown}: the kit has ${probes.map((p) => p.id).join(', ')}.`);
  const chosen = probes.filter((p) => (wanted.length === 0 ? isThermometer(p) : wanted.includes(p.id)));
  const other = chosen.find((p) => !isThermometer(p));
  if (other)
    throw new UsageError(
      `--probe ${other.id}: it does not measure temperature. Calibrate it with: elbowroom calibrate-pressure --probe ${other.id}`,
    );
  return chosen;
};

type BathOptions = Parameters<typeof askedPressure>[0] & {
  readonly bath?: readonly string[] | undefined;
  readonly reference?: string | undefined;
};

/** All baths of the session, those that an unfinished one has taken as they were; asks for the pressure where it must. */
const bathsOf = async (
  options: BathOptions,
  left: Session | undefined,
  { degrees, folder }: { readonly degrees: Degrees; readonly folder: string },
): Promise<readonly Bath[]> => {
  const order = options.bath ?? ['ice', 'boiling'];
  const reference = referenceFor(options.reference, order, new Date(systemClock.wallMs()).toISOString());
  const placed = [options.pressureHpa, options.qnhHpa, options.altitudeM].some((o) => o !== undefined);
  // A session that continues and has its boiling bath does not ask for the pressure again.
  const boiled = left?.done.find(({ kind }) => kind === 'boiling');
  const asks = order.includes('boiling') && (!boiled || placed || options.bath !== undefined);
  const pressure = asks ? await askedPressure(options) : undefined;
  const taken = (text: string): Bath | undefined =>
    options.bath || (text === 'boiling' && asks) ? undefined : left?.done.find(({ kind }) => kind === text);
  const baths = order.map((text, i) => taken(text) ?? bathFrom(text, pressure, i + 1, degrees, reference));
  if (left) {
    const others = left.done.filter(({ kind }) => kind !== 'boiling');
    const asIs = options.bath ? baths : placed ? [...others, ...baths] : undefined;
    expectSame(differenceFrom(left, { baths: asIs }), folder, degrees);
  }
  return baths;
};

type Taking = {
  readonly folder: string;
  readonly node: string;
  readonly timeoutS: number;
  readonly degrees: Degrees;
  readonly goesOn: boolean;
  readonly inForce: Awaited<ReturnType<typeof certificatesInForce>>;
};

/** Leads through the baths on the terminal; undefined when a person stopped it. */
const takeBaths = (begun: Session, remaining: readonly Bath[], taking: Taking) => {
  const { folder, node, timeoutS, degrees, goesOn, inForce } = taking;
  const stop = new AbortController();
  process.once('SIGINT', () => stop.abort());
  console.error(`${cautions}\n`);
  if (goesOn)
    console.error(
      `Continuing the unfinished session: ${begun.done.map(({ kind }) => kind).join(', ') || 'nothing'} taken, ${remaining.length} to go.`,
    );
  const display = new ProgressDisplay(process.stderr, degrees);
  return runSession(begun, remaining, {
    folder,
    node,
    clock: systemClock,
    timeoutS,
    stop: stop.signal,
    announce: (bath, number, of) => console.error(`Bath ${number} of ${of}. ${instructions(bath, degrees)}`),
    show: (progress, trouble) => display.show(underCertificates(progress, inForce), trouble),
    taken: (bath, settled, refused, findings) => {
      display.done();
      console.error(`Taken in the ${bath.kind} bath: ${settled.join(', ') || 'nothing'}.`);
      if (refused.length > 0) console.error(`Refused, not settled: ${refused.join(', ')}.`);
      for (const { words } of findings) console.error(`Look: ${readable(degrees, words)}`);
    },
  });
};

const leftIn = (folder: string): Promise<Session | undefined> =>
  unfinishedSession(folder).catch((error: Error) => {
    throw new UsageError(`${error.message}\nStart again with --fresh.`, { cause: error });
  });

const expectSame = (differs: string | undefined, folder: string, degrees: Degrees): void => {
  if (differs !== undefined)
    throw new UsageError(
      `There is an unfinished session in ${folder}, and ${readable(degrees, differs)}.\nContinue it with elbowroom calibrate and the same options, or start again with --fresh (its points are then lost).`,
    );
};

async function showCertificate(path: string, json: boolean): Promise<void> {
  const certificate = await readableCertificate(path);
  console.log(json ? JSON.stringify(certificate) : certificateText(certificate));
}

/** A certificate for a command: a missing file could not be read, a damaged one is a usage error. */
export async function readableCertificate(path: string) {
  try {
    return await readCertificate(path);
  } catch (error) {
    if (!(error instanceof Error && 'errno' in error)) throw error;
    throw new UnavailableError(`Cannot read ${path}: ${error.message}`, { cause: error });
  }
}
