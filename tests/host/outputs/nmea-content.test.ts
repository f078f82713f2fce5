import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { NodeNow } from '../../../host/live/live-source.js';
import { alertSentences } from '../../../host/outputs/nmea/alert-text.js';
import { temperaturesToSend } from '../../../host/outputs/nmea/temperatures.js';
import { type AlertRow, firstEngineCards } from '../../../node/index.js';
import { unframeSentence } from './decode-xdr.js';
import { node, nowMs, probe } from './made-node.js';

describe('temperatures for the instruments aboard', () => {
  it('go out in tenths of a degree, without a minus zero', () => {
    expect(temperaturesToSend([node()], {})).toEqual([
      { type: 'C', units: 'C', id: 'port-elbow', value: 48.2 },
      { type: 'C', units: 'C', id: 'sea', value: 0 },
    ]);
  });

  it('are those of thermometers: a pressure is no temperature without a value', () => {
    const pump = { ...probe('port-pump'), quantity: 'pressure' as const };
    const sent = temperaturesToSend([node({ probes: [pump, probe('sea')] })], {});
    expect(sent.map((m) => m.id)).toEqual(['sea']);
  });

  it('bear the name the owner chose', () => {
    expect(temperaturesToSend([node()], { 'port-elbow': 'Elbow P' })[0]?.id).toBe('Elbow P');
  });

  it.each([
    ['older than 5 s', node({ ageMs: { 'port-elbow': 5_001 } })],
    ['from before the host listened', node({ ageMs: {} })],
    ['of a node that is not connected', node({ connected: false })],
    ['that the node never sent', node({ latest: [] })],
    [
      'that is open',
      node({ latest: [{ probe: 'port-elbow', at: nowMs, temperatureC: 48, quality: 'open' }] }),
    ],
  ])('have no value when the reading is one %s', (_what, from) => {
    expect(temperaturesToSend([from], {})[0]).toEqual({ type: 'C', units: 'C', id: 'port-elbow' });
  });

  it('are distinguished by node where two nodes name a probe alike', () => {
    const both = temperaturesToSend([node(), node({ node: 'lazarette' })], {});
    expect(both.map((m) => m.id)).toEqual([
      'engine-room.port-elbow',
      'engine-room.sea',
      'lazarette.port-elbow',
      'lazarette.sea',
    ]);
  });
});

describe('alerts as text for the instruments aboard', () => {
  const alert = (over: Partial<AlertRow>): AlertRow => ({
    id: 'cooling:port',
    rule: 'high-limit',
    priority: 'alarm',
    state: 'unacknowledged',
    engine: 'port',
    probe: 'port-elbow',
    since: nowMs,
    message: 'Port wet elbow is at 101.2 C.',
    instruction: 'Idle, then stop',
    evidence: { values: {}, thresholds: {} },
    actions: [],
    ...over,
  });
  const hot = [{ probe: 'port-elbow', at: nowMs, temperatureC: 101.2, quality: 'good' as const }];

  it('say engine, verb and temperature, the worst first, each with a checksum and within 82 characters', () => {
    const sentences = alertSentences('II', [
      node({
        latest: hot,
        alerts: [
          alert({
            id: 'load:starboard',
            priority: 'warning',
            engine: 'starboard',
            probe: 'sea',
            instruction: 'Ease back',
          }),
          alert({}),
        ],
      }),
    ]);
    expect(sentences.map((sentence) => unframeSentence(sentence))).toEqual([
      ['IITXT', '02', '01', '01', 'ALARM PORT: IDLE THEN STOP 101 C'],
      ['IITXT', '02', '02', '02', 'WARNING STARBOARD: EASE BACK'],
    ]);
  });

  it('name no temperature that is not known, and nothing that has ended or is a caution', () => {
    const alerts = [
      alert({}),
      alert({ id: 'a', state: 'rectified' }),
      alert({ id: 'b', priority: 'caution' }),
    ];
    const [only, ...others] = alertSentences('II', [node({ connected: false, latest: hot, alerts })]);
    expect(unframeSentence(only ?? '').at(-1)).toBe('ALARM PORT: IDLE THEN STOP');
    expect(others).toEqual([]);
  });

  it.each([
    [
      'a long name gives way to the short one before the order is cut',
      'Auxiliary generator of the forward hold',
      'Forward',
      'ALARM FORWARD: UNLOAD THEN STOP 101 C',
    ],
    [
      'a name without a Latin letter gives way to the id',
      'Κύρια',
      'Κύρια',
      'ALARM PORT: UNLOAD THEN STOP 101 C',
    ],
    [
      'a name that fits is whole',
      'Hotel generator',
      'Hotel',
      'ALARM HOTEL GENERATOR: UNLOAD THEN STOP 101 C',
    ],
  ])('%s', (_, name, shortName, said) => {
    const engines = [{ ...firstEngineCards[0], id: 'port', name, shortName }] as NodeNow['engines'];
    const [sentence = ''] = alertSentences('II', [
      node({ engines, latest: hot, alerts: [alert({ instruction: 'Unload, then stop' })] }),
    ]);
    expect(sentence.length).toBeLessThanOrEqual(82);
    expect(unframeSentence(sentence).at(-1)).toBe(said);
  });

  it('of any message and engine name make a sentence that decodes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), fc.boolean(), (words, instructed) => {
        const { instruction, ...rest } = alert({ engine: words, message: words });
        const [sentence = ''] = alertSentences('II', [
          node({ engines: [], alerts: [instructed ? { ...rest, instruction: words } : rest] }),
        ]);
        expect(sentence.length).toBeLessThanOrEqual(82);
        expect(unframeSentence(sentence)[0]).toBe('IITXT');
      }),
    );
  });
});
