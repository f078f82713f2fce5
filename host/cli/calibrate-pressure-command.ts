import { dirname, join, relative, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import writeFileAtomic from 'write-file-atomic';
import {
  type HosePoint,
  hoseKpa,
  issuePressureCertificate,
  type PressureCertificate,
} from '../../calibration/index.js';
import { loadKit, systemClock } from '../../node/index.js';
import { nextIssue } from '../calibrate/certificate-files.js';
import { takeHeight } from '../calibrate/hose-session.js';
import { makeFolder } from '../files/make-folder.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { nodeAddressOf } from './node-address-of.js';
import { summaries } from './summaries.js';
import { flagOption, kitOption, nodeOption, textOption } from './usual-options.js';

const cautions = `The pump's circuit is below the waterline: engine stopped and its key out, CLOSE THE SEACOCK before you open the
fitting, catch the water, and open the seacock again before you start the engine. Then look for drips.`;

export const calibratePressureCommand = defineCommand({
  ...summaries['calibrate-pressure'],
  when: 'Before the probe is fitted, or with its branch closed off, with elbowroom watch running in another window.',
  caution:
    'Below the waterline an open fitting floods the boat: close the seacock first, open it again before the engine is started.',
  builder: (yargs) =>
    yargs
      .options({
        ...kitOption,
        ...nodeOption,
        probe: { ...textOption('The pressure probe'), demandOption: true },
        'water-c': {
          type: 'number',
          requiresArg: true,
          default: 15,
          describe: 'Temperature of the water, C',
        },
        'latitude-deg': {
          type: 'number',
          requiresArg: true,
          demandOption: true,
          describe: 'Where you are, degrees, south negative: gravity goes with it',
        },
        'height-m': {
          type: 'number',
          array: true,
          requiresArg: true,
          describe: 'Surface of the water above the port, m; repeat. Default: 0, 0.5, 1, 1.5, 2',
        },
        out: textOption('Folder for the certificate; beside the kit when absent'),
        json: flagOption('Print the certificate as JSON'),
      })
      .example(
        '$0 calibrate-pressure --probe port-pump --latitude-deg 54',
        'Five heights, one after the other',
      ),
  handler: async (options) => {
    const kit = loadKit(options.kit);
    const probe = kit.probes.find(({ id }) => id === options.probe);
    if (probe?.channel.kind !== 'ratiometric-pressure')
      throw new UsageError(`--probe ${options.probe}: the kit has no pressure probe of this id.`);
    const node = nodeAddressOf(kit, options.node);
    const water = { waterC: options.waterC, latitudeDeg: options.latitudeDeg };
    const refused = refusal(() => hoseKpa({ heightM: 1, ...water }));
    if (refused) throw new UsageError(refused);
    const folder = resolve(options.out ?? join(dirname(options.kit), 'certificates'));
    makeFolder(folder);
    console.error(
      `${cautions}\nClear hose on the port, full of fresh water and without a bubble, its end open.\n`,
    );
    const points: HosePoint[] = [];
    const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
    for (const heightM of options.heightM ?? [0, 0.5, 1, 1.5, 2]) {
      console.error(`Hold the surface ${heightM} m above the port and keep it there, then press Enter.`);
      if ((await lines.next()).done) throw new UsageError('Stopped before all heights were taken.');
      const point = await takeHeight({
        node,
        clock: systemClock,
        probe: probe.id,
        heightM,
        timeoutS: 40,
      }).catch((cause: Error) => {
        throw new UnavailableError(cause.message, { cause });
      });
      console.error(`  ${point.volts.toFixed(4)} V, scatter ${(point.scatterVolts * 1000).toFixed(2)} mV`);
      points.push(point);
    }
    process.stdin.destroy();
    const certificate = issue({
      probe: { id: probe.id, name: probe.name },
      issue: await nextIssue(folder, probe.id),
      issuedAt: new Date(systemClock.wallMs()).toISOString(),
      fullScaleKpa: probe.channel.fullScaleKpa,
      points,
      ...water,
    });
    const path = join(folder, `${probe.id}@${certificate.issue}.json`);
    await writeFileAtomic(path, `${JSON.stringify(certificate, null, 1)}\n`);
    console.log(options.json ? JSON.stringify(certificate) : textOf(certificate));
    console.error(
      `Written to ${path}. Put this line under the probe in the kit: certificate: ${relative(dirname(resolve(options.kit)), path)}`,
    );
  },
});

const issue = (input: Parameters<typeof issuePressureCertificate>[0]): PressureCertificate => {
  try {
    return issuePressureCertificate(input);
  } catch (cause) {
    throw new UsageError((cause as Error).message, { cause });
  }
};

const refusal = (work: () => unknown): string | undefined => {
  try {
    work();
    return undefined;
  } catch (error) {
    return (error as Error).message;
  }
};

const textOf = (c: PressureCertificate): string =>
  [
    `Certificate ${c.probe.id}@${c.issue}, ${c.issuedAt}`,
    `pressure = ${c.offsetKpa.toFixed(3)} kPa + ${c.kpaPerVolt.toFixed(4)} kPa/V x volts`,
    ...c.points.map(
      (p, i) =>
        `  ${p.heightM} m: ${p.volts.toFixed(4)} V, off the line by ${(c.residualsKpa[i] ?? 0).toFixed(3)} kPa`,
    ),
    ...c.budgets.flatMap(({ pressureKpa, lines }) => {
      const total = c.uncertainty.find((u) => u.pressureKpa === pressureKpa);
      return [
        `at ${pressureKpa} kPa: ±${total?.expandedUncertaintyKpa.toFixed(2) ?? '?'} kPa (95 %)`,
        ...lines.map((l) => `    ${l.standardUncertaintyKpa.toFixed(3)} kPa  ${l.source}`),
      ];
    }),
  ].join('\n');
