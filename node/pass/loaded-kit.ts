import { dirname, resolve } from 'node:path';
import { kindOf } from '../channels/table.js';
import { type Converter, converterFor } from '../convert/converter.js';
import { readCertificate } from '../convert/read-certificate.js';
import { NodeError } from '../errors/node-error.js';
import { type BaselineFile, parseBaseline } from '../guard/baseline-file.js';
import type { GuardSettings } from '../guard/settings.js';
import { settingsFromKit } from '../guard/settings-from-kit.js';
import { loadKit, parseKit } from '../kit/load-kit.js';
import { readWhole } from '../kit/read-whole.js';
import type { Kit } from '../kit/schema.js';
import type { ProbeId } from '../reading/reading.js';

/** A kit with all it leads to: the settings of the guard and how each probe is converted. */
export type LoadedKit = {
  readonly kit: Kit;
  readonly settings: GuardSettings;
  readonly converters: ReadonlyMap<ProbeId, Converter>;
};

/**
 * Reads a kit file and everything it names, or with `instead` what that kit names from the same folder. Throws
 * `NodeError` for the first thing that cannot be used.
 */
export const loadWholeKit = (path: string, instead?: Kit): LoadedKit => {
  const kit = instead ?? loadKit(path);
  return {
    kit,
    settings: settingsFromKit(kit, readBaseline(kit, dirname(path))),
    converters: new Map(
      kit.probes.map((probe) => [probe.id, converterFor(probe, readCertificate(probe, dirname(path)))]),
    ),
  };
};

/**
 * Every fault that a start would find in a text in place of the kit file `path`: its own faults, and those of
 * the baseline and certificates it names. Throws `NodeError`; `next` is what its message says to do.
 */
export const checkWholeKit = (text: string, path: string, next?: string): void => {
  loadWholeKit(path, parseKit(text, path, next));
};

/** What commissioning learned, where the kit names a file of it. */
const readBaseline = ({ baseline }: Kit, folder: string): BaselineFile | undefined => {
  if (baseline === undefined) return undefined;
  const path = resolve(folder, baseline);
  let text: string;
  try {
    text = readWhole(path);
  } catch (cause) {
    throw new NodeError(
      'baseline-not-found',
      `The kit names the baseline ${path}, which cannot be read (${(cause as Error).message}). Make it with elbowroom commission, or take the baseline line out of the kit to guard without it.`,
      { cause },
    );
  }
  return parseBaseline(text, path);
};

/**
 * What cannot be changed while the node runs, because a wire, a port or a pin would have to be opened again. Everything
 * else (limits, names, curves, certificates) takes effect at once.
 */
export const needsRestart = (before: Kit, after: Kit): string[] => {
  const fixed = (kit: Kit): Record<string, unknown> => ({
    node: kit.node,
    board: kit.board,
    outputs: kit.outputs,
    link: kit.link,
    referencePin: kit.referencePin,
    buzzerCurrent: kit.buzzerCurrent,
    'the list of engines': kit.engines.map(({ id }) => id),
    ...Object.fromEntries(
      kit.engines.map(({ id, runningInput }) => [`the runningInput of engine ${id}`, runningInput]),
    ),
    'the list of probes': kit.probes.map(({ id }) => id),
    ...Object.fromEntries(
      kit.probes.map(({ id, channel }) => [
        `the input of probe ${id}`,
        [channel.kind, kindOf(channel).wired(channel)],
      ]),
    ),
  });
  const old = fixed(before);
  const young = fixed(after);
  return Object.keys(old).filter((name) => JSON.stringify(old[name]) !== JSON.stringify(young[name]));
};
