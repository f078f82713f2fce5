import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { chromiumOptions } from '../house/browser.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** Where the one browser of the lane is reached. */
    browserAddress: string;
    /** Where the season is laid by the first file that asks for it. */
    seasonFolder: string;
  }
}

/** What all page files share: one browser process, and one season that is laid once and copied. */
export default async function shareFixtures(project: TestProject): Promise<() => Promise<void>> {
  const server = await chromium.launchServer(chromiumOptions);
  const seasonFolder = mkdtempSync(join(tmpdir(), 'elbowroom-season-'));
  project.provide('browserAddress', server.wsEndpoint());
  project.provide('seasonFolder', seasonFolder);
  return async () => {
    await server.close();
    rmSync(seasonFolder, { recursive: true, force: true });
  };
}
