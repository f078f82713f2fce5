import {
  type Bath,
  progressOf,
  startSession,
  stepSession,
  type Verification,
  verifyPoint,
} from '../../calibration/index.js';
import { systemClock } from '../../node/index.js';
import { certificatesBeside } from '../calibrate/certificate-files.js';
import { ProgressDisplay } from '../calibrate/progress-display.js';
import { underCertificates } from '../calibrate/under-certificates.js';
import { watchBath } from '../calibrate/watch-bath.js';
import { cautions, instructions } from '../calibrate/words.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { type Degrees, pointText, readable, signedSpanText, spanText } from '../wording/degrees.js';
import { day } from '../wording/moments.js';
import { askedPressure } from './ask-pressure.js';
import { readableCertificate } from './calibrate-command.js';
import { numberFrom, refusing } from './convert/numbers.js';
import { defineCommand } from './define-command.js';
import { BadAnswerError, UsageError } from './exit.js';
import { bathFrom, type Place, placeOptions, referenceFor, referenceOption } from './place-options.js';
import { settlingFrom, settlingOptions } from './settling-options.js';
import { summaries } from './summaries.js';
import { jsonOption, textOption } from './usual-options.js';

export const verifyCommand = defineCommand({
  ...summaries.verify,
  when: 'Once a year and whenever a reading is doubted; one ice bath is enough. elbowroom watch must run.',
  caution: 'With --bath boiling: water and steam scald; engines off and cold, gloves, no children.',
  builder: (yargs) =>
    yargs
      .options({
        certificate: {
          ...textOption('Certificate of a probe; repeat for more probes at once'),
          demandOption: true,
          array: true,
        },
        bath: {
          ...textOption(
            'ice, boiling, or T:u for a reference thermometer in C, T alone with --reference (140.4F:0.2 for Fahrenheit)',
          ),
          default: 'ice',
        },
        node: { ...textOption('Address of the node'), default: '127.0.0.1:8472' },
        rule: {
          choices: ['simple-acceptance', 'guarded-acceptance'] as const,
          default: 'simple-acceptance' as const,
          describe:
            'Decision rule of JCGM 106: accept up to the tolerance, or stay below it by what the bath is unsure of',
        },
        'tolerance-c': textOption('Tolerated error; what certificate and bath together allow when absent'),
        ...referenceOption,
        ...placeOptions,
        ...settlingOptions,
        ...jsonOption,
      })
      .example('$0 verify --certificate certificates/port-elbow@1.json', 'In an ice bath'),
  handler: async (options) => {
    const certificates = await Promise.all(options.certificate.map(readableCertificate));
    const earlier = (await Promise.all(options.certificate.map(certificatesBeside))).flat();
    const toleranceC =
      options.toleranceC === undefined ? undefined : numberFrom(options.toleranceC, '--tolerance-c');
    if (toleranceC !== undefined && !(toleranceC > 0))
      throw new UsageError('--tolerance-c must be above zero.');
    const degrees = chosenDegrees({ degrees: options.degrees });
    const bath = await bathOf(options, degrees);
    const { rules, timeoutS } = settlingFrom(options);
    const inputs = Object.fromEntries(
      certificates.map(({ probe, sensor, chain }) => [
        probe.id,
        { name: probe.name, sensor, chain } as Parameters<typeof startSession>[0][string],
      ]),
    );
    if (Object.keys(inputs).length < certificates.length)
      throw new UsageError('Two of the certificates are of the same probe; give the newest of each.');
    const inForce = Object.fromEntries(certificates.map((c) => [c.probe.id, c]));
    const stop = new AbortController();
    process.once('SIGINT', () => stop.abort());
    console.error(`${cautions}\n\n${instructions(bath, degrees)}`);
    const display = new ProgressDisplay(process.stderr, degrees);
    const watched = await watchBath(stepSession(startSession(inputs, rules), { kind: 'begin', bath }), {
      node: options.node,
      clock: systemClock,
      timeoutS,
      show: (progress, trouble) => display.show(underCertificates(progress, inForce), trouble),
      stop: stop.signal,
    });
    if (stop.signal.aborted) {
      process.exitCode = 130;
      return;
    }
    const unsettled = progressOf(watched).filter((p) => !p.settled);
    const takenAt = new Date(systemClock.wallMs()).toISOString();
    const { points } = stepSession(watched, { kind: 'take', takenAt });
    const results = certificates.flatMap((certificate) => {
      const point = points[certificate.probe.id]?.[0];
      return point
        ? [
            {
              probe: certificate.probe.id,
              ...refusing(
                certificate.probe.id,
                () =>
                  verifyPoint(certificate, point, {
                    earlier,
                    rule: options.rule,
                    ...(toleranceC !== undefined && { toleranceC }),
                  }),
                (words) => readable(degrees, words),
              ),
            },
          ]
        : [];
    });
    console.log(
      options.json
        ? JSON.stringify({ bath: bath.kind, results, refused: unsettled.map((p) => p.probe) })
        : results.map((r) => sentence(r, degrees)).join('\n'),
    );
    const outside = results.filter((r) => !r.within).map((r) => r.probe);
    if (outside.length > 0)
      throw new BadAnswerError(`Outside the certificate: ${outside.join(', ')}. Calibrate again.`);
    if (unsettled.length > 0)
      throw new BadAnswerError(
        `Not settled, so nothing is known: ${unsettled.map((p) => p.probe).join(', ')}.`,
      );
  },
});

const bathOf = async (
  options: Place & { readonly bath: string; readonly reference?: string | undefined },
  degrees: Degrees,
): Promise<Bath> =>
  bathFrom(
    options.bath,
    options.bath === 'boiling' ? await askedPressure(options) : undefined,
    1,
    degrees,
    referenceFor(options.reference, [options.bath], new Date(systemClock.wallMs()).toISOString()),
  );

const ruleNames = {
  'simple-acceptance': 'Decided by simple acceptance (JCGM 106)',
  'guarded-acceptance': 'Decided with a guard band of the width of the bath (JCGM 106)',
} as const;

const sentence = (v: Verification & { readonly probe: string }, degrees: Degrees): string => {
  const { cPerYear, lowCPerYear, highCPerYear, sessions, overDays } = v.drift;
  const span = (c: number): string => signedSpanText(degrees, c);
  const drift = `drift ${span(cPerYear)} per year (95 %: ${span(lowCPerYear)} to ${span(highCPerYear)}; ${sessions} sessions over ${overDays.toFixed(0)} days)`;
  return [
    `${v.probe}: ${v.within ? 'within' : 'OUTSIDE'} its certificate. Reads ${pointText(degrees, v.readC, 2)} at ${pointText(degrees, v.bathC, 2)}: ${span(v.differenceC)} ±${spanText(degrees, v.differenceUncertaintyC, 2)}, allowed ${spanText(degrees, v.allowedC, 2)}`,
    `  ${ruleNames[v.rule]}; within the tolerance of ${spanText(degrees, v.toleranceC, 2)} with a chance of ${(100 * v.conformityProbability).toFixed(0)} %.`,
    `  ${drift}. Calibrate by ${day(Date.parse(v.calibrateBy))}.`,
  ].join('\n');
};
