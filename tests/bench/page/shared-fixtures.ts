import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { laySeason } from '../../../host/demo-season/lay-season.js';
import { openStore } from '../../../host/store/index.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit, settingsFromKit, systemClock } from '../../../node/index.js';
import { chromiumOptions } from '../house/browser.js';
import { nodeName, probes } from './scripted-node.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** Where the one browser of the lane is reached. */
    browserAddress: string;
    /** A data folder of a host with an invented season in its store, to be copied. */
    seasonFolder: string;
  }
}

/** What all page files share: one browser process, and one season that is laid once and copied. */
export default async function shareFixtures(project: TestProject): Promise<() => Promise<void>> {
  const server = await chromium.launchServer(chromiumOptions);
  const seasonFolder = mkdtempSync(join(tmpdir(), 'elbowroom-season-'));
  const store = openStore(seasonFolder, systemClock);
  const settings = settingsFromKit(parseKit(benchKitYaml, 'kit.yaml'));
  await laySeason({ store, clock: systemClock, node: nodeName, probes, settings });
  store.close();
  project.provide('browserAddress', server.wsEndpoint());
  project.provide('seasonFolder', seasonFolder);
  return async () => {
    await server.close();
    rmSync(seasonFolder, { recursive: true, force: true });
  };
}
