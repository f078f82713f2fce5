import { readdirSync, readFileSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { certificateName, parseCertificate } from '../../calibration/index.js';

import { engineCards, loadKit, probeCards, settingsFromKit, systemClock } from '../../node/index.js';
import { sessionFile } from '../calibrate/session-file.js';
import { type BoatOfKit, gatherReport, namelessProbes } from '../report/gather.js';

import { reportHtml } from '../report/html.js';
import { findChromium, printToPdf } from '../report/pdf.js';
import { voyagesOf } from '../report/voyages.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { openStoreToRead, type Span, type Store } from '../store/index.js';
import { day, dayAndTime, zoneOf } from '../wording/moments.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { momentOf } from './moment-option.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { flagOption } from './usual-options.js';

const dayMs = 86_400_000;

export const reportCommand = defineCommand({
  ...summaries.report,
  when: 'After a voyage, for yourself or the mechanic.',
  builder: (yargs) =>
    yargs
      .option('voyage', {
        type: 'string',
        describe: '"last", or 2 for the one before, and so on; this is what you get unless --from is given',
      })
      .option('from', {
        type: 'string',
        describe: 'First moment, such as 2026-05-01 or 2026-05-01T08:00:00Z',
      })
      .option('to', { type: 'string', describe: 'End of the span, not included; now unless given' })
      .option('out', { type: 'string', nargs: 1, describe: 'The HTML file; - is stdout' })
      .option('pdf', {
        type: 'string',
        describe: 'Also print it to this PDF file, where a Chromium is installed',
      })
      .option('kit', {
        type: 'string',
        describe: 'The kit file, for names, places and limits that the store does not know: after an import',
      })
      .option('certificates', { type: 'string', describe: 'Folder with calibration certificates to show' })
      .option('list', flagOption('List the voyages of the last year instead'))
      .options(storeOption)
      .option('json', flagOption('What the report says, as one JSON document'))
      .conflicts('voyage', 'from')
      .example('$0 report --voyage last', 'Writes one HTML file')
      .example('$0 report --voyage 3 --pdf for-the-mechanic.pdf', 'The third last, as PDF too')
      .example('$0 report --from 2026-05-01 --to 2026-06-01', 'A month'),
  handler: async (options) => {
    const nowMs = systemClock.wallMs();
    const chromium = options.pdf === undefined ? undefined : findChromium();
    if (options.pdf !== undefined && chromium === undefined)
      throw new UnavailableError(
        'No Chromium was found to print a PDF. Install one (Debian: apt install chromium), or open the HTML file in any browser and print it.',
      );
    const certificates = options.certificates === undefined ? [] : readCertificates(options.certificates);
    const store = openStoreToRead(options.dataDir, systemClock);
    try {
      if (options.list) {
        listVoyages(store, nowMs, options.json);
        return;
      }
      const span = chooseSpan(store, options, nowMs);
      const kit = options.kit === undefined ? undefined : boatOf(options.kit);
      const nameless = namelessProbes(store, kit);
      if (nameless.length > 0)
        console.error(
          `The store does not know names, places and limits of ${nameless.join(', ')}: they were imported. Give the boat's kit file: --kit kit.yaml`,
        );
      const report = await gatherReport(store, span, { nowMs, certificates, ...(kit && { kit }) });
      if (options.json) console.log(JSON.stringify(report));
      const html = reportHtml(report, chosenDegrees(options));
      const out = options.out ?? (options.json ? undefined : `elbowroom-report-${day(span.from)}.html`);
      if (out === '-') process.stdout.write(html);
      else if (out !== undefined) await writeOut(out, html);
      if (options.pdf !== undefined && chromium !== undefined) await writePdf(chromium, html, options.pdf);
    } finally {
      store.close();
    }
  },
});

const yearOfVoyages = (store: Store, nowMs: number) =>
  voyagesOf(store, { from: nowMs - 366 * dayMs, to: nowMs }, nowMs);

const chooseSpan = (
  store: Store,
  {
    voyage = 'last',
    from,
    to,
  }: {
    readonly voyage?: string | undefined;
    readonly from?: string | undefined;
    readonly to?: string | undefined;
  },
  nowMs: number,
): Span => {
  if (from !== undefined) {
    const span = { from: momentOf('from', from, 0), to: momentOf('to', to, nowMs) };
    if (span.to <= span.from) throw new UsageError(`--to ${to ?? 'now'} must come after --from ${from}.`);
    return span;
  }
  const back = voyage === 'last' ? 1 : Number(voyage);
  if (!Number.isInteger(back) || back < 1)
    throw new UsageError(
      `--voyage ${voyage} is neither "last" nor a whole number from 1. elbowroom report --list shows them.`,
    );
  const found = yearOfVoyages(store, nowMs);
  const span = found.at(-back);
  if (!span)
    throw new UsageError(
      found.length === 0
        ? 'The store holds no voyage of the last year. Give a span: --from 2026-05-01 --to 2026-05-02'
        : `The store holds ${found.length} voyage(s) of the last year, not ${back}. elbowroom report --list shows them.`,
    );
  return span;
};

const listVoyages = (store: Store, nowMs: number, json: boolean): void => {
  const voyages = [...yearOfVoyages(store, nowMs)].reverse();
  if (json) console.log(JSON.stringify({ voyages }));
  else if (voyages.length === 0) console.log('No voyage of the last year.');
  else
    console.log(
      voyages
        .map(
          (v, i) =>
            `${String(i + 1).padStart(3)}  ${dayAndTime(v.from)} to ${dayAndTime(v.to)} ${zoneOf(v.to)}`,
        )
        .join('\n'),
    );
};

const boatOf = (path: string): BoatOfKit => {
  const kit = loadKit(path);
  return { boat: kit.boat.name, engines: engineCards(kit), probes: probeCards(kit, settingsFromKit(kit)) };
};

const readCertificates = (folder: string) => {
  let names: string[];
  try {
    // A calibration that is not finished keeps what it took beside the certificates.
    names = readdirSync(folder).filter((name) => name.endsWith('.json') && name !== sessionFile);
  } catch (error) {
    throw new UsageError(`--certificates ${folder} cannot be read: ${(error as Error).message}`);
  }
  return names.sort().flatMap((name) => {
    const path = join(folder, name);
    const text = readFileSync(path, 'utf8');
    if (isOfPressure(text)) {
      console.error(`${name} is of a pressure probe; the report shows thermometers only.`);
      return [];
    }
    const certificate = parseCertificate(text, path);
    return [{ name: certificateName(certificate), certificate }];
  });
};

const isOfPressure = (text: string): boolean => {
  try {
    return 'pressureCertificate' in (JSON.parse(text) as object);
  } catch {
    return false;
  }
};

const writeOut = async (path: string, html: string): Promise<void> => {
  try {
    await writeFile(path, html);
  } catch (error) {
    throw new UnavailableError(`${path} cannot be written: ${(error as Error).message}`);
  }
  console.error(
    `Wrote ${path} (${Math.round(html.length / 1024)} kB). It opens in any browser, without a network.`,
  );
};

const writePdf = async (chromium: string, html: string, path: string): Promise<void> => {
  const folder = await mkdtemp(join(tmpdir(), 'elbowroom-report-'));
  try {
    const page = join(folder, 'report.html');
    await writeFile(page, html);
    await printToPdf(chromium, page, path);
  } catch (error) {
    throw new UnavailableError(`${basename(chromium)} could not print ${path}: ${(error as Error).message}`);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
  console.error(`Wrote ${path}.`);
};
