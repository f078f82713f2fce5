import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { MissingReason } from '../../../node/reading/reading.js';

import { kit, type Load, loads, ScriptedBoat } from './scripted-boat.js';

/** The words of faults.md that people rely on, read from there. */
const faults = readFileSync(new URL('../../../hardware-notes/faults.md', import.meta.url), 'utf8').replace(
  /\s+/g,
  ' ',
);
const stated = (words: RegExp): number => {
  const found = words.exec(faults)?.[1];
  if (found === undefined) throw new Error(`faults.md does not say ${words}`);
  return Number(found);
};
const unseenWithinS = stated(/an elbow that cannot be believed sounds within (\d+) s/);
const lossWithinS: Readonly<Record<Load, number>> = {
  idle: stated(/without what commissioning learns within (\d+) s at idle/),
  cruise: stated(/(\d+) s at cruise/),
  'wide open': stated(/(\d+) s wide open/),
};

const ids = kit.probes.map(({ id }) => id);
const reasonOf = (id: string): MissingReason =>
  kit.probes.find((probe) => probe.id === id)?.channel.kind === 'ntc-divider' ? 'open' : 'no-answer';

test.each(Object.keys(loads) as Load[])(
  'every subset of lost probes at %s, with water and without, sounds in the stated time or stops the heart; a boat that is seen and well is quiet',
  (load) => {
    const worst = { unseenS: 0, lossS: 0 };
    const wrong: string[] = [];
    let cases = 0;
    for (const bagged of [false, true]) {
      const boat = new ScriptedBoat(load, bagged, Math.max(lossWithinS[load], unseenWithinS));
      for (let subset = 0; subset < 2 ** ids.length; subset++) {
        const lost = ids.filter((_, bit) => subset & (1 << bit));
        const { soundedS, heartStoppedS } = boat.run((probe, c) =>
          lost.includes(probe) ? reasonOf(probe) : c,
        );
        const name = `${bagged ? 'bagged' : 'well'}, lost: ${lost.join(' ') || 'none'}`;
        const blind = lost.some((id) => id.endsWith('-elbow'));
        const portBlind = lost.includes('port-elbow');
        cases++;
        const firstS = Math.min(
          soundedS ?? Number.POSITIVE_INFINITY,
          heartStoppedS ?? Number.POSITIVE_INFINITY,
        );
        if (!blind && !bagged) {
          if (firstS < Number.POSITIVE_INFINITY) wrong.push(`${name}: sounded falsely after ${firstS} s`);
          continue;
        }
        // Where the engine that lost its water is seen, that sound must come in its own time, whatever else is lost.
        const withinS = bagged && !portBlind && !blind ? lossWithinS[load] : unseenWithinS;
        if (!(firstS <= withinS)) wrong.push(`${name}: first after ${firstS} s`);
        if (blind) worst.unseenS = Math.max(worst.unseenS, firstS);
        else worst.lossS = Math.max(worst.lossS, firstS);
      }
    }
    expect(wrong).toEqual([]);
    expect(cases).toBe(2 * 2 ** ids.length);
    console.log(
      `${load}: ${cases} cases; slowest unseen ${worst.unseenS} s, slowest loss that is seen ${worst.lossS} s`,
    );
  },
  60_000,
);
