import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { houseRoot } from './house-root.js';

const pages = [
  'README.md',
  ...readdirSync(join(houseRoot, 'hardware-notes')).map((name) => `hardware-notes/${name}`),
].filter((name) => name.endsWith('.md'));

/** Every section of every text that an owner follows, with its own heading, wrapped lines joined. */
const sections = pages.flatMap((page) =>
  readFileSync(join(houseRoot, page), 'utf8')
    .split(/\n(?=#{1,4} )/)
    .map((text) => ({ where: `${page}: ${text.split('\n')[0] ?? ''}`, text: text.replace(/\s+/g, ' ') })),
);

/**
 * What a text may send a person to do that can hurt, and the caution that must then be in the same section. The dangers are
 * common practice of the trade; no standard lists them for a kit such as this.
 */
const acts: readonly (readonly [act: string, does: RegExp, caution: RegExp])[] = [
  ['dip or bathe probes in boiling water', /\b(into|in) (a deep pot of )?\**boiling water/i, /scald/i],
  [
    'open the strainer, or fit a probe to it',
    /open (the )?strainer|tapping on the strainer|strainer's maker|Impeller, strainer|then open strainer/i,
    /(close|closed)[^.]{0,40}(seacock|it\b|before)|seacock closed/i,
  ],
  [
    'take the batteries off',
    /batteries off|disconnect the batteries/i,
    /bilge pump|before-you-touch-the-12-v-side|12 V side: power|table|^#+ (Wiring|What a healthy)/i,
  ],
  ['pull the USB cable to hear the buzzer', /pull the USB cable/i, /stopped|supply/i],
  ['look at the exhaust from the boat', /look at (the|that) exhaust(?!-)|over the stern/i, /safe place/i],
  ['deal with smoke', /\bsmoke, fire|smoke or fire|Smoke, or/i, /hatch (is )?\**shut/i],
  ['fit to the exhaust', /compression fitting of|a loosened bolt|ring under a bolt/i, /manual/i],
  ['start an engine after work on the exhaust', /start, idle, and look/i, /CO alarms on/i],
  ['solder or shrink', /hot-air tool/i, /burn|fuel/i],
  ['wire a 12 V feed', /feeds? the missing-pulse circuit/i, /fuse/i],
  ['wiggle or pull at connectors', /pull gently|wiggle/i, /stopped/i],
];

describe('a dangerous act has its caution in the same section', () => {
  it.each(acts)('%s', (_act, does, caution) => {
    const found = sections.filter(({ text }) => does.test(text));
    expect(found.length, 'no text speaks of it: the pattern is wrong').toBeGreaterThan(0);
    expect(found.filter(({ text }) => !caution.test(text)).map(({ where }) => where)).toEqual([]);
  });
});
