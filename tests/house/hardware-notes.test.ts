import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { missingPulseParts, missingPulseTiming, typicalConditions } from '../../host/plan/missing-pulse.js';
import { responseCosts } from '../../host/plan/response.js';
import { heldForMs } from '../../node/annunciator/start-test.js';
import { missingPulseS } from '../../node/bench/bench-boat.js';
import { faults } from '../../node/bench/probes/probe-fault.js';
import { sheetFaults } from '../host/plan/sheet-faults.js';
import { usualDrawings } from '../host/plan/usual-drawings.js';
import { houseRoot } from './house-root.js';

const folder = join(houseRoot, 'hardware-notes');
const pages = readdirSync(folder).filter((name) => name.endsWith('.md'));
const textOf = (name: string) => readFileSync(join(folder, name), 'utf8');

describe('the drawings', () => {
  const drawn = usualDrawings();

  it.each(Object.keys(drawn))('%s is what the code draws (renew with: vitest -u)', async (name) => {
    const path = join(folder, 'drawings', name);
    expect(existsSync(path), `${name} is not there yet`).toBe(true);
    await expect(drawn[name]).toMatchFileSnapshot(path);
  });

  it.each(Object.keys(drawn))(
    '%s keeps its words on the sheet, none on another, each as large as can be read',
    (name) => {
      const svg = drawn[name] ?? '';
      expect(svg.match(/<text /g)?.length).toBeGreaterThan(3);
      expect(sheetFaults(svg)).toEqual([]);
    },
  );

  it('are all used by a page, and none is there that no code draws', () => {
    const used = pages.flatMap((page) =>
      [...textOf(page).matchAll(/\(drawings\/([^)]+)\)/g)].map((m) => m[1]),
    );
    expect([...new Set(used)].sort()).toEqual(Object.keys(drawn).sort());
    expect(readdirSync(join(folder, 'drawings')).sort()).toEqual(Object.keys(drawn).sort());
  });
});

describe('the pages', () => {
  it.each(pages)('%s links only to what exists', (page) => {
    for (const [, target = ''] of textOf(page).matchAll(/\]\(([^)#]+)\)/g))
      expect(existsSync(join(folder, target)), target).toBe(true);
  });

  it.each(pages)('%s links only to headings that exist', (page) => {
    const anchorsOf = (text: string) =>
      [...text.matchAll(/^#+ (.+)$/gm)].map(([, heading = '']) =>
        heading
          .toLowerCase()
          .replace(/[^\w\s-]/g, '')
          .trim()
          .replace(/\s/g, '-'),
      );
    for (const [, file = '', anchor = ''] of textOf(page).matchAll(/\]\(([^)#]*)#([^)]+)\)/g))
      expect(anchorsOf(textOf(file || page)), `${file}#${anchor}`).toContain(anchor);
  });

  it('lists every page in its table of contents', () => {
    const listed = [...textOf('README.md').matchAll(/\]\(([a-z-]+\.md)\)/g)].map((m) => m[1]);
    for (const page of pages) if (page !== 'README.md') expect(listed).toContain(page);
  });

  it.each([
    ['README.md', /does not replace the engine's own alarms/],
    ['README.md', /Carbon monoxide kills/],
    ['never.md', /Do not fit this kit to a petrol/],
    ['never.md', /ISO 8846/],
    ['never.md', /ISO 12133/],
    ['wiring.md', /ISO 13297/],
    ['wiring.md', /ABYC E-11/],
    ['wiring.md', /licensed marine electrician/],
    ['power.md', /fuse at every source/i],
    ['placement.md', /SAE J2006/],
    ['placement.md', /burns the hand that feels for it\. So never feel/],
    ['placement.md', /CO alarms on, in the cabin/],
    ['placement.md', /The engine maker's manual beside you/],
    ['never.md', /\*\*never with your hand\*\*/],
    ['probes.md', /Scalding water.*gloves/],
    ['parts.md', /CO alarm/],
  ])('%s carries the caution %s', (page, words) => expect(textOf(page)).toMatch(words));
});

describe('the numbers of the missing-pulse circuit', () => {
  const text = textOf('missing-pulse.md');
  const oneDigit = (n: number) => n.toFixed(1);

  it('are those the code computes', () => {
    const { nominalS, shortestS, longestS, slowestEdgesPerS } = missingPulseTiming();
    expect(text).toContain(`sounds **${oneDigit(nominalS)} s** after the last beat`);
    expect(text).toContain(`**${oneDigit(shortestS)} to ${oneDigit(longestS)} s**`);
    expect(text).toContain(`at least **${oneDigit(slowestEdgesPerS)} changes a second**`);
  });

  it('are those the code computes for 3.3 V', () => {
    const { nominalS, shortestS, longestS } = missingPulseTiming(
      { ...missingPulseParts, bleedOhms: 270e3 },
      { ...typicalConditions, pinHighVolts: 3.3 },
    );
    expect(text).toContain(`${oneDigit(nominalS)} s, ${oneDigit(shortestS)} to ${oneDigit(longestS)} s`);
  });

  it('are those of the chirp as an engine starts: the beats held less the seconds until it sounds', () => {
    const heldS = heldForMs / 1000;
    const { shortestS, longestS } = missingPulseTiming();
    expect(text).toContain(`holds its beats for ${heldS} s`);
    expect(text.replace(/\s+/g, ' ')).toContain(
      `sounds for ${oneDigit(heldS - longestS)} to ${oneDigit(heldS - shortestS)} s`,
    );
  });

  it('are those the bench makes its circuit sound by', () => {
    expect(oneDigit(missingPulseS)).toBe(oneDigit(missingPulseTiming().nominalS));
  });

  it('are the values of the parts', () => {
    const { pumpFarads, holdFarads, baseOhms, drainOhms, bleedOhms, gateOhms } = missingPulseParts;
    expect(baseOhms).toBe(drainOhms);
    for (const row of [
      `| R2, R5 | ${baseOhms / 1000} kΩ |`,
      `| R3 | ${bleedOhms / 1000} kΩ |`,
      `| R4 | ${gateOhms / 1000} kΩ |`,
      `| C1 | ${Math.round(pumpFarads * 1e6)} µF, 25 V |`,
      `| C2 | ${Math.round(holdFarads * 1e6)} µF, 25 V |`,
    ])
      expect(text).toContain(row);
  });
});

it('the seconds a well saves are those of the plan', () => {
  const [cruise, wideOpen] = responseCosts(75);
  const text = textOf('placement.md').replace(/\s+/g, ' ');
  expect(text).toContain(
    `passes 75 °C ${cruise?.strapOnS} s after a bag closes the intake at cruise, and ${wideOpen?.strapOnS} s wide open; a well does so after ${cruise?.wellS} s and ${wideOpen?.wellS} s`,
  );
});

describe('faults.md', () => {
  const text = textOf('faults.md');
  const [shown = '', table = ''] = text.split('\n## The test of each\n');
  const sections = shown.split(/\n### /).slice(1);
  const rowOf = (fault: string) => table.split('\n').find((row) => row.startsWith(`| ${fault} | `)) ?? '';
  /** The tests a fault names, in its own section or in the table at the end. */
  const named = (section: string) =>
    [
      ...`${section} ${rowOf(section.split('\n')[0] ?? '')}`
        .replace(/\n/g, ' ')
        .matchAll(/`(tests\/[^`]+\.ts)`, "([^"]+)"/g),
    ].map(([, file = '', title = '']) => ({ file, title }));

  it('has more than twenty faults', () => expect(sections.length).toBeGreaterThan(20));

  it.each(sections.map((section) => [section.split('\n')[0] ?? '', section]))(
    '%s names a test that exists and bears that title',
    (_fault, section) => {
      const tests = named(section);
      expect(tests.length).toBeGreaterThan(0);
      for (const { file, title } of tests) {
        const held =
          existsSync(join(houseRoot, file)) && readFileSync(join(houseRoot, file), 'utf8').includes(title);
        expect(held, `${file} holds no test "${title}"`).toBe(true);
      }
    },
  );

  it('describes every fault that the bench can cause', () => {
    const missing = Object.keys(faults).filter((fault) => !text.includes(`\`${fault}\``));
    expect(missing).toEqual([]);
  });
});
