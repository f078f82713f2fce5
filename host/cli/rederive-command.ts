import { systemClock } from '../../node/index.js';
import { type Rederived, rederiveHistory } from '../calibrate/rederive-history.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { openStore } from '../store/index.js';
import { type Degrees, signedSpanText } from '../wording/degrees.js';
import { readableCertificate } from './calibrate-command.js';
import { defineCommand } from './define-command.js';
import { UsageError } from './exit.js';
import { spanOf } from './moment-option.js';
import { storeOption } from './store-option.js';
import { summaries } from './summaries.js';
import { jsonOption, rateOption, spanOptions, textOption } from './usual-options.js';

export const rederiveCommand = defineCommand({
  ...summaries.rederive,
  when: 'After a new certificate, so that old seasons can be compared with the new one.',
  builder: (yargs) =>
    yargs
      .options({
        certificate: { ...textOption('The certificate file; it names the probe'), demandOption: true },
        ...spanOptions,
        probe: textOption("The store's name of the probe, when it has another"),
        ...rateOption,
        ...storeOption,
        ...jsonOption,
      })
      .example(
        '$0 rederive --certificate certificates/port-elbow@2.json --from 2026-05-01',
        'A season again',
      ),
  handler: async (options) => {
    const certificate = await readableCertificate(options.certificate);
    const span = spanOf(options);
    const store = openStore(options.dataDir, systemClock);
    try {
      const name = options.probe ?? certificate.probe.id;
      const series = store.allSeries().find((s) => s.probe.name === name && s.rate === options.rate);
      if (!series)
        throw new UsageError(
          `The store has no readings of ${name}. It has: ${
            store
              .probes()
              .map((p) => p.name)
              .join(', ') || 'none yet'
          }. Name one with --probe.`,
        );
      const done = rederiveHistory(store, series, certificate, span);
      console.log(options.json ? JSON.stringify(done) : summary(done, chosenDegrees(options)));
    } finally {
      store.close();
    }
  },
});

const summary = (done: Rederived, degrees: Degrees): string =>
  [
    `${done.readings} readings recomputed into ${done.into}; the old values stay as they are.`,
    `New minus old: mean ${signedSpanText(degrees, done.meanShiftC, 3)}, largest ${signedSpanText(degrees, done.largestShiftC, 3)}.`,
    ...(done.withoutRaw > 0 ? [`${done.withoutRaw} had no raw quantity and are left out.`] : []),
    ...(done.refused > 0 ? [`${done.refused} have no temperature under this certificate.`] : []),
    ...(done.already > 0 ? [`${done.already} were there already.`] : []),
  ].join('\n');
