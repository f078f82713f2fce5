import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { laySeason } from '../../../host/demo-season/lay-season.js';
import { openStore } from '../../../host/store/index.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit, settingsFromKit, systemClock } from '../../../node/index.js';
import { nodeName, probes } from './scripted-node.js';

/** Lays an invented season into a folder, once for all files of the lane: it takes seconds of the processor. */
export const laySeasonOnce = async (folder: string): Promise<void> => {
  const laid = join(folder, 'laid');
  if (existsSync(laid)) return;
  const store = openStore(folder, systemClock);
  const kit = parseKit(benchKitYaml, 'kit.yaml');
  const settings = settingsFromKit(kit);
  await laySeason({ engines: kit.engines, store, clock: systemClock, node: nodeName, probes, settings });
  store.close();
  writeFileSync(laid, '');
};
