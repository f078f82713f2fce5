import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { loadWholeKit, needsRestart } from '../../../node/pass/loaded-kit.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-whole-kit-'));
afterAll(() => rmSync(folder, { recursive: true }));
const path = join(folder, 'kit.yaml');
const changed = (piece: string, instead: string): string => {
  if (!benchKitYaml.includes(piece)) throw new Error(`"${piece}" is not in the bench kit`);
  return benchKitYaml.replace(piece, instead);
};

describe('what a kit names beside itself', () => {
  test.each([
    [
      'certificate',
      '    mounting: well\n',
      '    mounting: well\n    certificate: none.json\n',
      'certificate-wrong',
    ],
    ['baseline', 'probes:\n', 'baseline: none.yaml\nprobes:\n', 'baseline-not-found'],
  ])('a %s that is not there is an error that names the file and the remedy', (_, piece, instead, code) => {
    writeFileSync(path, changed(piece, instead));
    const file = /none\.\w+/.exec(instead)?.[0] ?? '';
    expect(() => loadWholeKit(path)).toThrow(
      expect.objectContaining({
        code,
        message: expect.stringMatching(new RegExp(`${join(folder, file)}[\\s\\S]*out of the kit`)),
      }),
    );
  });

  test('a file that is not a certificate is refused', () => {
    writeFileSync(join(folder, 'none.json'), '{"hello":1}');
    writeFileSync(path, changed('    mounting: well\n', '    mounting: well\n    certificate: none.json\n'));
    expect(() => loadWholeKit(path)).toThrow(/The certificate of probe port-elbow cannot be used/);
    rmSync(join(folder, 'none.json'));
  });
});

describe('of a kit that is read again', () => {
  const before = parseKit(benchKitYaml, 'kit');
  test.each([
    ['a limit', 'raiseAtC: 75', 'raiseAtC: 80'],
    ['a name', 'name: Sea water', 'name: Sea inlet'],
    ['a curve', 'betaK: 3977', 'betaK: 3950'],
    ['a resistor', 'resistorOhms: 2200', 'resistorOhms: 2210'],
    ['a mounting', 'mounting: well', 'mounting: strap-on'],
    ['the boat', 'Marsh Harrier', 'Reed Warbler'],
  ])('%s takes effect at once', (_, piece, instead) => {
    expect(needsRestart(before, parseKit(changed(piece, instead), 'kit'))).toEqual([]);
  });

  test.each([
    ['a pin', 'pin: A0', 'pin: A4', ['the input of probe port-elbow']],
    ['an address', 'address: 0x67', 'address: 0x66', ['the input of probe port-exhaust']],
    ['the buzzer', 'buzzerPin: 8', 'buzzerPin: 7', ['outputs']],
    [
      'a running input',
      'runningInput: { pin: 2 }',
      'runningInput: { pin: 4 }',
      ['the runningInput of engine port'],
    ],
    ['the name of the node', 'node: engine-room', 'node: lazarette', ['node']],
  ])('%s needs a restart, and the message can say so', (_, piece, instead, fixed) => {
    expect(needsRestart(before, parseKit(changed(piece, instead), 'kit'))).toEqual(fixed);
  });

  test('another list of probes needs a restart', () => {
    const fewer = { ...before, probes: before.probes.slice(1) };
    expect(needsRestart(before, fewer)).toContain('the list of probes');
  });
});
