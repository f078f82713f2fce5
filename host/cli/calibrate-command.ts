import { dirname, resolve } from 'node:path';
import {
  certificateText,
  expandedUncertaintyAt,
  type Session,
  startSession,
} from '../../calibration/index.js';
import { type Kit, loadKit, systemClock } from '../../node/index.js';
import { certificatesInForce, readCertificate } from '../calibrate/certificate-files.js';
import { guardLines } from '../calibrate/guard-lines.js';
import { issueAll, nameInKit } from '../calibrate/issue-certificates.js';
import { inputOf, isThermometer } from '../calibrate/probe-inputs.js';
import { ProgressDisplay } from '../calibrate/progress-display.js';
import { differenceFrom, stillToTake } from '../calibrate/resume.js';
import { runSession } from '../calibrate/run-session.js';
import { forgetSession, unfinishedSession } from '../calibrate/session-file.js';
import { underCertificates } from '../calibrate/under-certificates.js';
import { cautions, instructions } from '../calibrate/words.js';
import { makeFolder } from '../files/make-folder.js';
import { KitKeeper } from '../kit-file/kit-keeper.js';
import { nodeAnswers } from '../link/answers.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { type Degrees, pointText, readable, spanText } from '../wording/degrees.js';
import { askedPressure } from './ask-pressure.js';
import { refusing } from './convert/numbers.js';
import { defineCommand } from './define-command.js';
import { AnswerIsBad, UnavailableError, UsageError } from './exit.js';
import { bathFrom, placeOptions, referenceFrom, referenceOption } from './place-options.js';
import { settlingFrom, settlingOptions } from './settling-options.js';

export const calibrateCommand = defineCommand({
  command: 'calibrate',
  describe: 'Calibrate probes in ice and boiling water, step by step, to a certificate each',
  when: 'Before the probes are fitted, at the table, with elbowroom watch running in another window. The buzzer sounds at the boil.',
  caution:
    'Boiling water and steam scald: engines off and cold, gloves, a heavy pot that cannot tip, no children, mains leads away. Hatch open over the cooker (carbon monoxide), and never let the pot boil dry.',
  builder: (yargs) =>
    yargs
      .options({
        kit: { type: 'string', requiresArg: true, default: 'kit.yaml', describe: 'The kit file' },
        node: {
          type: 'string',
          requiresArg: true,
          describe: 'Where the node is heard; from the kit when absent',
        },
        probe: {
          type: 'string',
          array: true,
          requiresArg: true,
          describe: 'Only this probe; repeat for more',
        },
        bath: {
          type: 'string',
          array: true,
          requiresArg: true,
          describe:
            'ice (kitchen ice, tap water), packed-ice (crushed, distilled, packed, drained), boiling, or T:u for a reference thermometer in C, T alone with --reference (140.4F:0.2 for Fahrenheit); repeat, in order. Default: ice, then boiling',
        },
        ...placeOptions,
        ...referenceOption,
        wire: {
          choices: ['iec-1', 'iec-2', 'astm-special', 'astm-standard'] as const,
          describe: 'Tolerance class of the thermocouple wire; iec-2 when absent',
        },
        out: {
          type: 'string',
          requiresArg: true,
          describe: 'Folder for certificates; beside the kit when absent',
        },
        ...settlingOptions,
        fresh: { type: 'boolean', default: false, describe: 'Forget an unfinished session' },
        show: { type: 'string', requiresArg: true, describe: 'Only print this certificate' },
        json: { type: 'boolean', default: false, describe: 'Print JSON' },
      })
      .example(
        '$0 calibrate --pressure-hpa 1009 --altitude-m 3 --probe port-elbow',
        'Ice, then boiling water',
      )
      .example('$0 calibrate --altitude-m 3 --bath ice --bath boiling --bath 60.2:0.1', 'A third point'),
  handler: async (options) => {
    if (options.show !== undefined) return showCertificate(options.show, options.json);
    const { rules, timeoutS } = settlingFrom(options);
    const kit = await loadKit(options.kit);
    const wanted = options.probe ?? [];
    const unknown = wanted.find((id) => !kit.probes.some((p) => p.id === id));
    if (unknown !== undefined)
      throw new UsageError(`--probe ${unknown}: the kit has ${kit.probes.map((p) => p.id).join(', ')}.`);
    const probes = kit.probes.filter((p) => (wanted.length === 0 ? isThermometer(p) : wanted.includes(p.id)));
    const other = probes.find((p) => !isThermometer(p));
    if (other)
      throw new UsageError(
        `--probe ${other.id}: it is no thermometer. Calibrate it with: elbowroom calibrate-pressure --probe ${other.id}`,
      );
    const node = options.node ?? (kit.link.over === 'tcp' ? kit.link.listen : undefined);
    if (node === undefined)
      throw new UsageError('--node: say where the node is heard, for example 127.0.0.1:8472.');
    const degrees = chosenDegrees({ degrees: options.degrees });
    const folder = resolve(options.out ?? `${dirname(options.kit)}/certificates`);
    const inputs = Object.fromEntries(probes.map((p) => [p.id, inputOf(p, options.wire ?? 'iec-2')]));
    const reference =
      options.reference === undefined
        ? undefined
        : {
            thermometer: referenceFrom(options.reference),
            today: new Date(systemClock.wallMs()).toISOString(),
          };
    const left = options.fresh ? undefined : await leftIn(folder);

    const order = options.bath ?? ['ice', 'boiling'];
    const placed = [options.pressureHpa, options.qnhHpa, options.altitudeM].some((o) => o !== undefined);
    // A session that goes on and has its boiling bath does not ask for the pressure again.
    const boiled = left?.done.find(({ kind }) => kind === 'boiling');
    const asks = order.includes('boiling') && (!boiled || placed || options.bath !== undefined);
    const pressure = asks ? await askedPressure(options) : undefined;
    const baths = order.map((text, i) =>
      text === 'boiling' && boiled && !asks ? boiled : bathFrom(text, pressure, i + 1, degrees, reference),
    );
    if (left) {
      const differs = differenceFrom(left, {
        baths: options.bath || placed ? baths : undefined,
        inputs: wanted.length > 0 || options.wire !== undefined ? inputs : undefined,
      });
      if (differs !== undefined)
        throw new UsageError(
          `There is an unfinished session in ${folder}, and ${readable(degrees, differs)}.\nGo on with it by elbowroom calibrate without these options, or begin again with --fresh (its points are then lost).`,
        );
    }
    try {
      makeFolder(folder);
    } catch (error) {
      throw new UnavailableError(`Cannot make ${folder}: ${(error as Error).message}`, { cause: error });
    }

    if (!(await nodeAnswers(node)))
      throw new UnavailableError(
        `No node answers at ${node}. Start it in another window and leave it running: elbowroom watch --kit ${options.kit}`,
      );

    const stop = new AbortController();
    process.once('SIGINT', () => stop.abort());
    console.error(`${cautions}\n`);
    const remaining = stillToTake(baths, left?.done ?? []);
    if (left)
      console.error(
        `Going on with the unfinished session: ${left.done.map(({ kind }) => kind).join(', ') || 'nothing'} taken, ${remaining.length} to go.`,
      );
    const display = new ProgressDisplay(process.stderr, degrees);
    const inForce = await certificatesInForce(probes, dirname(options.kit));
    const session = await runSession(left ?? startSession(inputs, rules), remaining, {
      folder,
      node,
      clock: systemClock,
      timeoutS,
      stop: stop.signal,
      announce: (bath, number, of) =>
        console.error(`Bath ${number} of ${of}. ${instructions(bath, degrees)}`),
      show: (progress, trouble) => display.show(underCertificates(progress, inForce), trouble),
      taken: (bath, settled, refused, findings) => {
        display.done();
        console.error(`Taken in the ${bath.kind} bath: ${settled.join(', ') || 'nothing'}.`);
        if (refused.length > 0) console.error(`Refused, not settled: ${refused.join(', ')}.`);
        for (const { words } of findings) console.error(`Look: ${readable(degrees, words)}`);
      },
    });
    if (!session) {
      console.error(
        `Stopped. What was taken is kept; run the same command to go on (or --fresh to start again).`,
      );
      process.exitCode = 130;
      return;
    }
    await finish(session, folder, options.kit, kit.probes, { json: options.json, degrees });
  },
});

const leftIn = (folder: string): Promise<Session | undefined> =>
  unfinishedSession(folder).catch((error: Error) => {
    throw new UsageError(error.message, { cause: error });
  });

async function finish(
  session: Session,
  folder: string,
  kitPath: string,
  kitProbes: Kit['probes'],
  { json, degrees }: { readonly json: boolean; readonly degrees: Degrees },
): Promise<void> {
  const keeper = new KitKeeper({ kitPath, clock: systemClock, log: (words) => console.error(words) });
  const issued = await issueAll(session, folder, kitProbes, new Date(systemClock.wallMs()).toISOString());
  const inKit = await nameInKit(issued, keeper);
  const made = issued.flatMap(({ probe, path, certificate }) =>
    certificate && path !== undefined ? [{ probe, path, certificate }] : [],
  );
  if (json)
    console.log(
      JSON.stringify({
        certificates: made.map(({ probe, path, certificate }) => ({
          probe,
          path,
          residualsC: certificate.residualsC,
          expandedUncertaintyC: Object.fromEntries(
            certificate.budgets.map(({ temperatureC }) => [
              temperatureC,
              expandedUncertaintyAt(certificate, temperatureC),
            ]),
          ),
          ...(certificate.doubts && { doubts: certificate.doubts }),
        })),
        refused: [
          ...session.refusals,
          ...issued.flatMap(({ probe, refused }) => (refused === undefined ? [] : [{ probe, why: refused }])),
        ],
        ...inKit,
      }),
    );
  for (const { probe, certificate } of made) {
    if (!json) console.log(certificateText(certificate));
    const good = certificate.budgets
      .map(
        ({ temperatureC: c }) =>
          `±${spanText(degrees, expandedUncertaintyAt(certificate, c), 2)} at ${pointText(degrees, c, 0)}`,
      )
      .join(', ');
    console.error(`${probe}: good to ${good} (95 %). The certificate itself is in degrees Celsius.`);
    for (const line of guardLines(kitProbes, { [probe]: certificate }, degrees)) console.error(line);
    for (const doubt of certificate.doubts ?? []) console.error(`${probe}: ${readable(degrees, doubt)}`);
  }
  if (inKit.kitBackup !== undefined)
    console.error(
      `The kit names the new certificates. The way back: copy ${inKit.kitBackup} over ${kitPath}.`,
    );
  if (inKit.kitNotChanged !== undefined)
    console.error(
      `${inKit.kitNotChanged}\nGive each probe its line in the kit:\n${made.map(({ probe, path }) => `  ${probe}: certificate: ${path}`).join('\n')}`,
    );
  if (made.length > 0 || Object.keys(session.points).length === 0) await forgetSession(folder);
  const without = issued.filter(({ path }) => path === undefined);
  if (session.refusals.length > 0 || without.length > 0)
    throw new AnswerIsBad(
      [
        'Not every probe has its certificate:',
        ...session.refusals.map((r) => `  ${r.probe}, ${r.bath}: ${readable(degrees, r.why)}`),
        ...without.map((one) => `  No certificate for ${one.probe}: ${readable(degrees, one.refused ?? '')}`),
      ].join('\n'),
    );
  if (inKit.kitNotChanged !== undefined) throw new UnavailableError('The kit file was not changed.');
}

async function showCertificate(path: string, json: boolean): Promise<void> {
  const certificate = await readableCertificate(path);
  console.log(json ? JSON.stringify(certificate) : certificateText(certificate));
}

/** A certificate for a command: a missing file could not be read, a damaged one was asked wrongly. */
export async function readableCertificate(path: string) {
  const found = await readCertificate(path).catch((error: unknown) => ({ error }));
  if (!('error' in found)) return found;
  return refusing('', () => {
    if (found.error instanceof Error && 'errno' in found.error)
      throw new UnavailableError(`Cannot read ${path}: ${found.error.message}`, { cause: found.error });
    throw found.error;
  });
}
