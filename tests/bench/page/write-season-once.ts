import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { writeSeason } from '../../../host/demo-season/write-season.js';
import { openStore } from '../../../host/store/index.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { settingsFromKit, systemClock } from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { nodeName, probes } from './scripted-node.js';

/** Writes an invented season to a folder, once for all files of the lane: it takes seconds of the processor. */
export const writeSeasonOnce = async (folder: string): Promise<void> => {
  const laid = join(folder, 'laid');
  if (existsSync(laid)) return;
  const store = openStore(folder, systemClock);
  const kit = parseKit(benchKitYaml, 'kit.yaml');
  const settings = settingsFromKit(kit);
  await writeSeason({ engines: kit.engines, store, clock: systemClock, node: nodeName, probes, settings });
  store.close();
  writeFileSync(laid, '');
};
