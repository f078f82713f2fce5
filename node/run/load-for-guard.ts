import { dirname, resolve } from 'node:path';
import { type Converter, converterFor } from '../convert/converter.js';
import { certificateFrom } from '../convert/read-certificate.js';
import { parseBaseline } from '../guard/baseline-file.js';
import type { Notice } from '../guard/notice.js';
import { settingsFromKit } from '../guard/settings-from-kit.js';
import { loadKit, parseKit } from '../kit/load-kit.js';
import { readWhole } from '../kit/read-whole.js';
import type { Kit } from '../kit/schema.js';
import type { LoadedKit } from '../pass/loaded-kit.js';
import type { KitCopy } from './kit-copies.js';

export type ForGuard = {
  readonly loaded: LoadedKit;
  /** The texts of what is in force. */
  readonly inForce: KitCopy;
  readonly notices: readonly Notice[];
};

/**
 * What a guard starts with when its files are not all as they should be: whatever of them is whole, else the last known
 * good copy of it, else none. Only a kit can end it, when there is no copy either: throws `NodeError`. `instead` is a
 * kit to use whatever is in the file.
 */
export const loadForGuard = (path: string, lastGood: KitCopy | undefined, instead?: Kit): ForGuard => {
  const notices: Notice[] = [];
  const files: Record<string, string> = {};
  const { kit, text } = instead ? { kit: instead, text: '' } : kitOrCopy(path, lastGood, notices);

  /** A file that the kit names, read by `parse`, or its copy, or nothing; each with a notice. */
  const named = <T>(name: string, about: string, without: string, parse: (text: string) => T) => {
    const file = resolve(dirname(path), name);
    const use = (text: string): T => {
      const value = parse(text);
      files[name] = text;
      return value;
    };
    let why: string;
    try {
      return use(readWhole(file));
    } catch (error) {
      why = (error as Error).message;
    }
    const copy = lastGood?.files[name];
    const post = (instead: string) =>
      notices.push({
        about,
        message: `${file} cannot be used, so ${instead}. ${why}`,
        actions: ['The guard continues.', `Correct ${name}; it is read again every few seconds.`],
      });
    try {
      if (copy === undefined) throw new Error('no copy');
      const value = use(copy);
      post('the last good copy of it is in force');
      return value;
    } catch {
      post(without);
      return undefined;
    }
  };

  const baseline =
    kit.baseline === undefined
      ? undefined
      : named(
          kit.baseline,
          'baseline',
          'the plain detector guards, which is slower than the learned one',
          (text) => parseBaseline(text, resolve(dirname(path), kit.baseline ?? '')),
        );
  const converterOf = (probe: Kit['probes'][number]): Converter => {
    const { certificate, id, name } = probe;
    const certified =
      certificate === undefined
        ? undefined
        : named(
            certificate,
            `certificate:${id}`,
            `the maker's curve is used for ${name}, whose readings are less exact`,
            (text) => converterFor(probe, certificateFrom(probe, text, resolve(dirname(path), certificate))),
          );
    return certified ?? converterFor(probe);
  };
  const converters = new Map(kit.probes.map((probe) => [probe.id, converterOf(probe)]));
  return {
    loaded: { kit, settings: settingsFromKit(kit, baseline), converters },
    inForce: { kit: text, files },
    notices,
  };
};

const kitOrCopy = (path: string, lastGood: KitCopy | undefined, notices: Notice[]) => {
  try {
    const kit = loadKit(path);
    return { kit, text: readWhole(path) };
  } catch (error) {
    if (!lastGood) throw error;
    let kit: Kit;
    try {
      kit = parseKit(lastGood.kit, 'the last good kit');
    } catch {
      throw error;
    }
    notices.push({
      about: 'kit',
      message: `The kit file cannot be used, so the last good one is in force. ${(error as Error).message}`,
      actions: ['The guard continues.', 'Correct the kit file; it takes effect when it is saved.'],
    });
    return { kit, text: lastGood.kit };
  }
};
