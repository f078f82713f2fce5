import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { loadKit, parseKit } from '../../../node/kit/load-kit.js';
import { good, saidOf } from './good-kit.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-kit-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** The good file with one piece changed; fails when the piece is not there, so that no case tests nothing. */
const with_ = (piece: string, instead: string): string => {
  if (!good.includes(piece)) throw new Error(`"${piece}" is not in the good file`);
  return good.replace(piece, instead);
};

describe('a setpoint that cannot be meant is refused with what to write instead', () => {
  const elbow = 'alarm: { raiseAtC: 93, clearAtC: 85, holdS: 1 }';
  test.each([
    [
      'a misplaced decimal point',
      elbow,
      'alarm: { raiseAtC: 930, clearAtC: 85, holdS: 1 }',
      'between 25 and 121 C',
    ],
    [
      'Fahrenheit',
      elbow,
      'alarm: { raiseAtC: 167, clearAtC: 154, holdS: 1 }',
      'If that was Fahrenheit, write 75: a kit file is in Celsius.',
    ],
    [
      'a warning that would never come first',
      elbow,
      `${elbow}, warning: { raiseAtC: 95, clearAtC: 80, holdS: 2 }`,
      'the warning at 95 C must be below the alarm at 93 C',
    ],
    ['kilohms written as ohms', 'resistorOhms: 1000', 'resistorOhms: 4.7', 'at least 100'],
  ])('%s', (_, piece, instead, said) => {
    expect(saidOf(with_(piece, instead))).toContain(said);
  });

  test('the place decides: what is far too hot for an elbow is a usual limit for exhaust gas', () => {
    const hot = 'limits: { alarm: { raiseAtC: 480, clearAtC: 450, holdS: 2 } }';
    const gas = parseKit(`${good}    ${hot}\n`, 'kit.yaml').probes[1];
    expect(gas?.limits.alarm?.raiseAtC).toBe(480);
    expect(saidOf(with_(`limits: { ${elbow} }`, hot))).toContain('line 11');
  });
});

test('a good file gives the kit with its defaults filled in', () => {
  const kit = parseKit(good, 'kit.yaml');
  expect(kit.node).toBe('engine-room');
  expect(kit.board).toEqual({ connection: 'auto', sampleHz: 10 });
  expect(kit.link).toEqual({ over: 'tcp', listen: '127.0.0.1:8472' });
  expect(kit.probes[0]?.channel).toMatchObject({ thermistorSide: 'low', resistorOhms: 1000 });
  expect(kit.probes[1]?.channel).toEqual({ kind: 'mcp960x', address: 0x67, thermocouple: 'K' });
});

describe('a wrong file is answered with line, column, what was found, what was expected and an example', () => {
  test.each([
    [
      'a misspelt setting',
      'connection: auto',
      'connecton: auto',
      'line 3, column 10: board.connecton',
      'one of connection, sampleHz',
    ],
    [
      'a text for a number',
      'buzzerPin: 8',
      'buzzerPin: eight',
      'line 4, column 23: outputs.buzzerPin: found "eight"',
      'expected a number',
    ],
    [
      'a fraction for a pin',
      'buzzerPin: 8',
      'buzzerPin: 8.5',
      'line 4, column 23: outputs.buzzerPin: found 8.5',
      'expected a whole number',
    ],
    [
      'a pin too low',
      'lampPin: 9',
      'lampPin: 1',
      'line 4, column 35: outputs.lampPin: found 1',
      'expected at least 2',
    ],
    [
      'a setting left out',
      ', heartbeatPin: 10',
      '',
      'line 4, column 10: outputs.heartbeatPin: found nothing',
      'For example:  outputs: { buzzerPin: 8',
    ],
    [
      'an unknown engine',
      'engine: port',
      'engine: centre',
      'line 8, column 13: probes.0.engine: centre is no engine of this kit',
      'one of port, starboard, all',
    ],
    [
      'an unknown kind of channel',
      'kind: mcp960x',
      'kind: mcp9700',
      'line 16, column 22: probes.1.channel.kind: found "mcp9700"',
      'one of ntc-divider, mcp960x, ad8495',
    ],
    [
      'a wrong pin name',
      'pin: A0',
      'pin: D0',
      'line 10, column 40: probes.0.channel.pin: found "D0"',
      'an analogue pin such as A0',
    ],
    [
      'limits the wrong way round',
      'clearAtC: 85',
      'clearAtC: 95',
      'line 11, column 48: probes.0.limits.alarm.clearAtC',
      'clearAtC must be below raiseAtC',
    ],
    [
      'an id twice',
      'id: port-exhaust',
      'id: port-elbow',
      'line 12, column 5: probes.1',
      'id port-elbow is already taken by probe port-elbow',
    ],
    ['another layout', 'kit: 1', 'kit: 2', 'line 1, column 6: kit: found 2', 'expected one of 1'],
    [
      'no probes',
      good.slice(good.indexOf('probes:')),
      'probes: []',
      'line 5, column 9: probes: found a list',
      'expected at least 1',
    ],
    [
      'a tab for indentation',
      '  - id: port-elbow',
      '\t- id: port-elbow',
      'line 6, column 1',
      'this is not YAML',
    ],
    ['a bracket left open', 'boat: {', 'boat: [', 'line 2', 'this is not YAML'],
    ['a setting twice', 'kit: 1\n', 'kit: 1\nkit: 1\n', 'line 2, column 1', 'this is not YAML'],
  ])('%s', (_, piece, instead, where, expected) => {
    const said = saidOf(with_(piece, instead));
    expect(said).toContain(where);
    expect(said).toContain(expected);
    expect(said).toMatch(/^kit\.yaml cannot be used as it is:/);
    expect(said).toMatch(/then run: elbowroom wiring$/);
  });

  test('an empty file', () => {
    expect(saidOf('')).toContain('line 1, column 1: found nothing; expected a group of settings');
  });

  test('several troubles are reported together, and no more than a dozen', () => {
    expect(
      saidOf(with_('buzzerPin: 8, lampPin: 9', 'buzzerPin: x, lampPin: y')).match(/ {2}line 4/g),
    ).toHaveLength(2);
    const many = `kit: 1\n${Array.from({ length: 30 }, (_, i) => `unknown${i}: 1`).join('\n')}\n`;
    const said = saidOf(many);
    expect(said.match(/ {2}line \d+/g)).toHaveLength(12);
    expect(said).toMatch(/and \d+ more\./);
  });

  test('aliases that would unfold without end are refused', () => {
    const bomb = `a: &a [x, x, x, x, x, x, x, x, x]\nb: &b [*a, *a, *a, *a, *a, *a, *a, *a]\nc: [*b, *b, *b, *b, *b, *b, *b, *b, *b]\n`;
    expect(() => parseKit(bomb, 'kit.yaml')).toThrow(/alias/i);
  });
});

test('a file that is not there is named, with what to do', () => {
  expect(() => loadKit(join(folder, 'none.yaml'))).toThrow(
    expect.objectContaining({
      code: 'kit-not-found',
      message: expect.stringMatching(/none\.yaml.*--kit FILE/),
    }),
  );
});

test('a folder in place of a file is distinguished from a missing one', () => {
  expect(() => loadKit(folder)).toThrow(expect.objectContaining({ code: 'kit-unreadable' }));
});

test('a file on disk is read as its text', () => {
  const path = join(folder, 'kit.yaml');
  writeFileSync(path, good);
  expect(loadKit(path)).toEqual(parseKit(good, path));
});
