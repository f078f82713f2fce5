import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { systemClock } from '../../node/index.js';
import { restoreBackup } from '../backup/restore-backup.js';
import { hostFolderIn, nodeFoldersIn } from '../settings/data-folders.js';
import { holderOf } from '../supervise/data-folder.js';
import { defineCommand } from './define-command.js';
import { UnavailableError, UsageError } from './exit.js';
import { summaries } from './summaries.js';
import { boatDataOption, flagOption } from './usual-options.js';

export const restoreCommand = defineCommand({
  ...summaries.restore,
  when: 'On a new computer, or after a disk failed. With sudo, all of it belongs to the owner of the boat’s folder. Stop elbowroom watch first.',
  caution:
    'Nothing guards the engines until elbowroom watch runs again. Then check elbowroom status, and test the buzzer.',
  builder: (yargs) =>
    yargs
      .positional('file', { type: 'string', demandOption: true, describe: 'A file of elbowroom backup' })
      .option('folder', { type: 'string', default: '.', describe: 'The boat’s folder, which gets the kit' })
      .options(boatDataOption)
      .option('dry-run', flagOption('Check the file and change nothing'))
      .example('$0 restore boat-2026-10-01.tar.gz --dry-run', 'Is it whole?')
      .example('$0 restore boat-2026-10-01.tar.gz', 'In the new, empty folder of the boat'),
  handler: async ({ file, folder, dataDir, dryRun }) => {
    if (!existsSync(file)) throw new UsageError(`There is no file ${file}.`);
    if (!dryRun)
      for (const held of [
        ...nodeFoldersIn(dataDir).map((name) => join(dataDir, name)),
        hostFolderIn(dataDir),
      ]) {
        const holder = await holderOf(held);
        if (holder !== undefined)
          throw new UnavailableError(
            `${held} is in use${holder ? ` by ${holder}` : ''}. Stop elbowroom watch first, then restore.`,
          );
      }
    const { manifest, keptIn } = await restoreBackup({
      from: file,
      folder,
      dataDir,
      clock: systemClock,
      dryRun,
    });
    const whole = `${file} of ${manifest.madeAt} is whole: ${manifest.entries.length} files.`;
    if (dryRun) return console.log(whole);
    console.log(
      `${whole} They are in place.${keptIn === undefined ? '' : `\nWhat was there before is in ${keptIn}.`}\nNothing guards until you start: elbowroom watch --kit ${manifest.kit}`,
    );
  },
});
