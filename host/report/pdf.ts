import { execFile } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { promisify } from 'node:util';

/** Names under which a Chromium is installed. */
const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];

/** The first Chromium on the path; none when there is none. */
export const findChromium = (): string | undefined => {
  for (const folder of (process.env.PATH ?? '').split(delimiter))
    for (const name of names) {
      const candidate = join(folder, name);
      try {
        accessSync(candidate, constants.X_OK);
        return candidate;
      } catch {
        // Not there; the next one may be.
      }
    }
  return undefined;
};

/** Without a screen, as root too, and without a request to the network. */
export const chromiumFlags = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Prints a file of ours to PDF. Rejects with Chromium's own words when it fails or takes more than a minute. */
export const printToPdf = async (chromium: string, htmlPath: string, pdfPath: string): Promise<void> => {
  const profile = await mkdtemp(join(tmpdir(), 'elbowroom-print-'));
  try {
    await promisify(execFile)(
      chromium,
      [
        ...chromiumFlags,
        '--no-pdf-header-footer',
        `--user-data-dir=${profile}`,
        `--print-to-pdf=${resolve(pdfPath)}`,
        pathToFileURL(resolve(htmlPath)).href,
      ],
      { timeout: 60_000 },
    );
    await stat(pdfPath);
  } finally {
    await rm(profile, { recursive: true, force: true, maxRetries: 5 });
  }
};
