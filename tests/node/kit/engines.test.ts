import { describe, expect, it } from 'vitest';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import { parseKit } from '../../../node/kit/load-kit.js';

const kit = (
  engines: string,
  probes = '',
  outputs = '{ buzzerPin: 8, lampPin: 9, heartbeatPin: 7 }',
) => `kit: 1
boat: { name: Invented, invented: true }
board: { connection: bench }
outputs: ${outputs}
${engines}
probes:
  - { id: sea, name: Sea, place: sea-water, channel: { kind: mcp960x, address: 0x60 } }
${probes}`;
const elbow = (id: string, engine: string, address: number) =>
  `  - { id: ${id}, name: ${id}, ${engine && `engine: ${engine}, `}place: wet-elbow, channel: { kind: mcp960x, address: ${address} } }\n`;
const parse = (...parts: Parameters<typeof kit>) => parseKit(kit(...parts), 'kit.yaml');
const complaint = (...parts: Parameters<typeof kit>): string => {
  try {
    parse(...parts);
    return 'no complaint';
  } catch (error) {
    return (error as Error).message;
  }
};

describe('the engines of a kit', () => {
  it('a kit of the first layout has port and starboard, alike, with their inputs', () => {
    const first = parse(
      'engines: { port: { ratedKw: 235, runningInput: { pin: 2 } } }',
      elbow('e', 'both', 0x61),
    );
    expect(first.engines).toEqual([
      {
        id: 'port',
        name: 'Port',
        shortName: 'Port',
        kind: 'propulsion',
        ratedKw: 235,
        runningInput: { pin: 2, activeLow: true },
      },
      { id: 'starboard', name: 'Starboard', shortName: 'Starboard', kind: 'propulsion' },
    ]);
    expect(first.alike).toEqual([['port', 'starboard']]);
    expect(first.probes.map(({ engine }) => engine)).toEqual(['all', 'all']);
    expect(parse('').engines.map(({ id }) => id)).toEqual(['port', 'starboard']);
  });

  it('one engine: its probes need not name it, and it is compared with none', () => {
    const one = parse('engines: [{ id: main, name: Old Faithful, ratedKw: 28 }]', elbow('e', '', 0x61));
    expect(one.probes.map(({ engine }) => engine)).toEqual(['all', 'main']);
    expect(settingsFromKit(one).engines).toEqual([
      { id: 'main', name: 'Old Faithful', kind: 'propulsion', runningInput: false, alike: [] },
    ]);
  });

  it('a twin with a generator set: only the two are alike; alike may be one group or a list of groups', () => {
    const list =
      'engines: [{ id: port }, { id: starboard }, { id: generator, kind: generator, name: Hotel generator set }]\n';
    for (const alike of ['alike: [port, starboard]', 'alike: [[port, starboard]]']) {
      const { engines } = settingsFromKit(parse(list + alike));
      expect(engines.map(({ alike }) => alike)).toEqual([['starboard'], ['port'], []]);
      expect(engines[2]?.kind).toBe('generator');
    }
    const named = parse(list).engines[2];
    expect([named?.name, named?.shortName]).toEqual(['Hotel generator set', 'Generator']);
    expect(settingsFromKit(parse(list)).engines.every(({ alike }) => alike.length === 0)).toBe(true);
  });

  it.each([
    ['engines: []', 'line 5, column 10: engines: found a list; expected at least 1 entries'],
    [`engines: [${['a', 'b', 'c', 'd', 'e'].map((id) => `{ id: ${id} }`)}]`, 'expected at most 4 entries'],
    ['engines: [{ id: all }]', 'mean what engines share; choose another id'],
    [
      'engines: [{ id: main, kind: outboard }]',
      'engines.0.kind: found "outboard"; expected one of propulsion, generator',
    ],
    ['engines: [{ id: main, power: 20 }]', '"power" is not known here; expected one of'],
    ['engines: { prot: {} }', '"prot" is not known here'],
    ['engines: [{ id: a }, { id: a, name: Other }]', 'two engines have the id a'],
    ['engines: [{ id: a, name: Main }, { id: b, name: main }]', 'two engines are called main'],
    ['engines: [{ id: a, runningInput: { pin: 8 } }]', 'pin 8 is already taken by buzzerPin'],
    [
      'engines: [{ id: a, runningInput: { pin: 2 } }, { id: b, runningInput: { pin: 2 } }]',
      'pin 2 is already taken by the running input of a',
    ],
    ['engines: [{ id: a }, { id: b }]\nalike: [a, c]', 'c is no engine of this kit; its engines are a, b'],
    ['engines: [{ id: a }, { id: b }]\nalike: [[a, b], [b, a]]', 'b is named twice'],
  ])('refuses %s', (engines, words) => {
    expect(complaint(engines)).toContain(words);
  });

  it.each([
    ['{ buzzerPin: 8, lampPin: 8, heartbeatPin: 7 }', 'lampPin: pin 8 is already taken by buzzerPin'],
    ['{ buzzerPin: 8, lampPin: 9, heartbeatPin: 8 }', 'heartbeatPin: pin 8 is already taken by buzzerPin'],
  ])('refuses two outputs on one pin: %s', (outputs, words) => {
    expect(complaint('engines: [{ id: main }]', '', outputs)).toContain(words);
  });

  it('a probe in an exhaust must say which of several engines it is on, and the engine must be there', () => {
    const two = 'engines: [{ id: a }, { id: b }]';
    expect(complaint(two, elbow('e', '', 0x61))).toContain('which engine is it on? One of a, b, all');
    expect(complaint(two, elbow('e', 'c', 0x61))).toContain(
      'c is no engine of this kit; expected one of a, b, all',
    );
  });
});
