import { dirname, resolve } from 'node:path';
import { certificatePicture, certificateText, issueCertificate } from '../../calibration/index.js';
import { loadKit, systemClock } from '../../node/index.js';
import { nextIssue, readCertificate, writeCertificate } from '../calibrate/certificate-files.js';
import { inputOf, isThermometer } from '../calibrate/probe-inputs.js';
import { ProgressDisplay } from '../calibrate/progress-display.js';
import { runSession } from '../calibrate/run-session.js';
import { forgetSession, type SavedSession } from '../calibrate/session-file.js';
import { cautions, instructions } from '../calibrate/words.js';
import { makeFolder } from '../files/make-folder.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { type Degrees, pointText, readable, spanText } from '../wording/degrees.js';
import { askedPressure } from './ask-pressure.js';
import { refusing } from './convert/numbers.js';
import { defineCommand } from './define-command.js';
import { AnswerIsBad, UnavailableError, UsageError } from './exit.js';
import { bathFrom, placeOptions } from './place-options.js';
import { settlingFrom, settlingOptions } from './settling-options.js';

export const calibrateCommand = defineCommand({
  command: 'calibrate',
  describe: 'Calibrate probes in ice and boiling water, step by step, to a certificate each',
  when: 'Before the probes are fitted, at the table, with elbowroom watch running in another window. The buzzer sounds at the boil.',
  caution:
    'Boiling water and steam scald: engines off and cold, gloves, a heavy pot that cannot tip, no children, mains leads away.',
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
            'ice, boiling, or T:u for a reference thermometer in C (140.4F:0.2 for Fahrenheit); repeat, in order. Default: ice, then boiling',
        },
        ...placeOptions,
        wire: {
          choices: ['iec-1', 'iec-2', 'astm-special', 'astm-standard'] as const,
          default: 'iec-2' as const,
          describe: 'Tolerance class of the thermocouple wire',
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
      .example('$0 calibrate --pressure-hpa 1009 --probe port-elbow', 'Ice, then boiling water')
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
    const order = options.bath ?? ['ice', 'boiling'];
    const pressure = order.includes('boiling') ? await askedPressure(options) : undefined;
    const baths = order.map((text, i) => bathFrom(text, pressure, i + 1, degrees));
    const folder = resolve(options.out ?? `${dirname(options.kit)}/certificates`);
    try {
      makeFolder(folder);
    } catch (error) {
      throw new UnavailableError(`Cannot make ${folder}: ${(error as Error).message}`, { cause: error });
    }

    const stop = new AbortController();
    process.once('SIGINT', () => stop.abort());
    console.error(`${cautions}\n`);
    const display = new ProgressDisplay(process.stderr, degrees);
    const saved = await runSession({
      folder,
      node,
      clock: systemClock,
      inputs: Object.fromEntries(probes.map((p) => [p.id, inputOf(p, options.wire)])),
      baths,
      rules,
      timeoutS,
      fresh: options.fresh,
      stop: stop.signal,
      announce: (bath, number, of) =>
        console.error(`Bath ${number} of ${of}. ${instructions(bath, degrees)}`),
      show: (progress, trouble) => display.show(progress, trouble),
      taken: (bath, settled, refused) => {
        display.done();
        console.error(`Taken in the ${bath.kind} bath: ${settled.join(', ') || 'nothing'}.`);
        if (refused.length > 0) console.error(`Refused, not settled: ${refused.join(', ')}.`);
      },
      resumed: (done, of) =>
        console.error(`Going on with the unfinished session: ${done} of ${of} baths are done.`),
    });
    if (!saved) {
      console.error(
        `Stopped. What was taken is kept; run the same command to go on (or --fresh to start again).`,
      );
      process.exitCode = 130;
      return;
    }
    const { refusals } = saved.session;
    const without = await issueAll(saved, folder, kit.probes, { json: options.json, degrees });
    await forgetSession(folder);
    if (refusals.length > 0)
      throw new AnswerIsBad(
        `Not every probe settled:\n${refusals.map((r) => `  ${r.probe}, ${r.bath}: ${readable(degrees, r.why)}`).join('\n')}${without.length > 0 ? `\nNo certificate for ${without.join(', ')}.` : ''}`,
      );
  },
});

async function issueAll(
  { session }: SavedSession,
  folder: string,
  kitProbes: Awaited<ReturnType<typeof loadKit>>['probes'],
  { json, degrees }: { readonly json: boolean; readonly degrees: Degrees },
): Promise<readonly string[]> {
  const issued: {
    probe: string;
    path: string;
    residualsC: readonly number[];
    expandedUncertaintyC: Record<string, number>;
  }[] = [];
  const without: string[] = [];
  for (const [id, { name, sensor, chain }] of Object.entries(session.probes)) {
    const points = session.points[id] ?? [];
    if (points.length === 0) {
      without.push(id);
      continue;
    }
    const limits = kitProbes.find((p) => p.id === id)?.limits;
    const alsoAtC = [limits?.alarm?.raiseAtC ?? [], limits?.warning?.raiseAtC ?? []].flat();
    const issue = await nextIssue(folder, id);
    const issuedAt = new Date(systemClock.wallMs()).toISOString();
    const certificate = refusing(
      id,
      () => issueCertificate({ probe: { id, name }, issue, issuedAt, sensor, chain, points, alsoAtC }),
      (words) => readable(degrees, words),
    );
    const text = certificateText(certificate);
    const path = await writeCertificate(folder, certificate, {
      txt: text,
      svg: certificatePicture(certificate),
    }).catch((error: Error) => {
      throw new UnavailableError(`Cannot write the certificate of ${id}: ${error.message}`, { cause: error });
    });
    if (!json) console.log(text);
    issued.push({
      probe: id,
      path,
      residualsC: certificate.residualsC,
      expandedUncertaintyC: Object.fromEntries(
        certificate.budgets.map(({ temperatureC }) => [
          temperatureC,
          certificate.uncertainty.reduce((a, b) =>
            Math.abs(b.temperatureC - temperatureC) < Math.abs(a.temperatureC - temperatureC) ? b : a,
          ).expandedUncertaintyC,
        ]),
      ),
    });
  }
  if (json) console.log(JSON.stringify({ certificates: issued, refused: session.refusals }));
  for (const { probe, path, expandedUncertaintyC } of issued) {
    const good = Object.entries(expandedUncertaintyC)
      .map(([atC, u]) => `±${spanText(degrees, u, 2)} at ${pointText(degrees, Number(atC), 0)}`)
      .join(', ');
    console.error(`${probe}: good to ${good} (95 %). The certificate itself is in degrees Celsius.`);
    console.error(`${probe}: put this line into the kit:  certificate: ${path}`);
  }
  return without;
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
