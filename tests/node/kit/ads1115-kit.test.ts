import { describe, expect, test } from 'vitest';
import { parseKit } from '../../../node/kit/load-kit.js';

import { good, saidOf } from './good-kit.js';

describe('the inputs of one ADS1115', () => {
  const thermistor = '{ law: beta, r25Ohms: 10000, betaK: 3977 }';
  const divider = (id: string, input: string, more = '') =>
    `  - { id: ${id}, name: Probe, engine: port, place: engine-room, channel: { kind: ntc-divider-ads1115, address: 0x48, input: ${input}, resistorOhms: 10000, thermistor: ${thermistor}${more} } }\n`;
  const pair = (id: string, input: string) =>
    `  - { id: ${id}, name: Probe, engine: port, place: dry-exhaust, channel: { kind: thermocouple-ads1115, address: 0x48, input: ${input}, thermocouple: K, coldJunction: port-elbow } }\n`;
  const both = 'address 0x48 input AIN0 is already taken by probe gas';

  test.each([
    ['one of a pair is no input of another probe', [pair('gas', 'AIN0-AIN1'), divider('a', 'AIN0')], both],
    [
      'two pairs may have AIN3 as their minus side',
      [pair('gas', 'AIN0-AIN3'), pair('g2', 'AIN1-AIN3')],
      undefined,
    ],
    [
      'which is no input then',
      [pair('gas', 'AIN0-AIN3'), divider('a', 'AIN3')],
      'input AIN3 is already taken by the minus side',
    ],
    [
      'two dividers may see one supply',
      [divider('a', 'AIN0', ', supplyInput: AIN2'), divider('b', 'AIN1', ', supplyInput: AIN2')],
      undefined,
    ],
    [
      'where no probe is',
      [divider('a', 'AIN2'), divider('b', 'AIN1', ', supplyInput: AIN2')],
      'input AIN2 is needed as the supply of dividers, and is already taken by probe a',
    ],
  ] as const)('%s', (_what, probes, says) => {
    const text = good + probes.join('');
    if (says === undefined) expect(parseKit(text, 'kit.yaml').probes).toHaveLength(4);
    else expect(saidOf(text)).toContain(says);
  });
});
