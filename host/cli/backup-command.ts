import { systemClock } from '../../node/index.js';
import { writeBackup } from '../backup/write-backup.js';
import { defineCommand } from './define-command.js';
import { InterruptedError } from './exit.js';
import { summaries } from './summaries.js';
import { boatDataOption, flagOption, kitOption } from './usual-options.js';

export const backupCommand = defineCommand({
  ...summaries.backup,
  when: 'Before work on the computer, before an update, and after each season. Node and host may run meanwhile.',
  builder: (yargs) =>
    yargs
      .positional('file', {
        type: 'string',
        demandOption: true,
        describe: 'The new file, such as boat.tar.gz',
      })
      .options(kitOption)
      .options(boatDataOption)
      .option('json', flagOption('The list of what is in it, as JSON'))
      .epilogue(
        'It holds passwords, tokens and the link secret: keep it as you keep a key. For a backup after each voyage see hardware-notes/computer.md.',
      )
      .example('$0 backup boat-2026-10-01.tar.gz', 'In the boat’s folder')
      .example('$0 backup /media/stick/boat.tar.gz', 'Onto a stick'),
  handler: async ({ file, kit, dataDir, json }) => {
    const stop = new AbortController();
    // Once: a second Ctrl-C ends it at once, and the next backup clears up.
    for (const name of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(name, () => stop.abort());
    const { manifest, leftOut } = await writeBackup(
      { kitPath: kit, dataDir },
      file,
      systemClock,
      stop.signal,
    ).catch((error: unknown) => {
      throw stop.signal.aborted ? new InterruptedError(`Stopped. Nothing was written to ${file}.`) : error;
    });
    for (const path of leftOut)
      console.error(
        `Left out: ${path}. It is outside of the boat’s folder or was removed meanwhile: copy it by hand.`,
      );
    const bytes = manifest.entries.reduce((sum, entry) => sum + entry.bytes, 0);
    console.log(
      json
        ? JSON.stringify(manifest)
        : `Wrote ${file}: ${manifest.entries.length} files, ${(bytes / 1e6).toFixed(1)} MB before packing. It holds passwords: keep it safe.`,
    );
  },
});
