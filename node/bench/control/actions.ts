import { z } from 'zod';
import { mcpModels } from '../chips/mcp960x.js';
import { type BuzzerFault, buzzerFaults } from '../circuits/buzzer.js';
import { faults, type ProbeFault } from '../probes/probe-fault.js';

const engine = z.string().min(1);
const probe = z.string().min(1);
const share = z.number().min(0).max(1);
const buzzerFaultNames = Object.keys(buzzerFaults) as [BuzzerFault, ...BuzzerFault[]];
const faultNames = Object.keys(faults) as [ProbeFault, ...ProbeFault[]];

const action = <Name extends string, Shape extends z.ZodRawShape>(name: Name, shape: Shape) =>
  z.strictObject({ action: z.literal(name), ...shape });

/** Everything that can be done to the bench boat, as the bodies of `POST /do`. */
export const actionSchema = z.discriminatedUnion('action', [
  action('throttle', { engine, value: share }),
  action('bag-intake', { engine }),
  action('clear-intake', { engine }),
  action('shed-vane', { engine, flowLeft: share.default(0.5) }),
  action('new-impeller', { engine }),
  action('clog-strainer', { engine, flowLeft: share }),
  action('foul-exchanger', { engine, heatLeft: z.number().min(0.05).max(1) }),
  action('rough-sea', { value: share }),
  action('sea-temperature', { temperatureC: z.number().min(-2).max(35) }),
  action('running-input', { engine, reads: z.enum(['truth', 'on', 'off', 'chatter']) }),
  action('open-probe', { probe }),
  action('short-probe', { probe }),
  action('fault', { probe, fault: z.enum(faultNames) }),
  action('chip', { probe, model: z.enum(mcpModels) }),
  action('restore-probe', { probe }),
  action('dip', {
    probe,
    bath: z.union([z.enum(['ice', 'boiling']), z.number().min(-60).max(300)]),
    settled: z.boolean().optional(),
  }),
  action('undip', { probe }),
  action('hose', { probe, heightM: z.number().min(0).max(10).optional() }),
  action('pressure', { hectopascals: z.number().min(500).max(1100) }),
  action('unplug', { boardPower: z.enum(['lost', 'kept']).default('lost') }),
  action('replug', {}),
  action('power-off', {}),
  action('power-on', {}),
  action('reset-board', {}),
  action('freeze-board', {}),
  action('thaw-board', {}),
  action('hold-bus', {}),
  action('release-bus', {}),
  action('buzzer', { fault: z.enum(buzzerFaultNames).nullable() }),
  action('line-noise', { bitErrorsPerMillionBytes: z.number().min(0).max(1_000_000) }),
]);

export type Action = z.infer<typeof actionSchema>;

/** What the boat has for an example to act on; `amplified` is a probe with an amplifier of its own. */
export type Things = {
  readonly engine: string;
  readonly other: string;
  readonly elbow: string | undefined;
  readonly amplified: string | undefined;
  readonly gauge: string | undefined;
};

type Guide = Readonly<Record<Action['action'], { readonly example: object; readonly what: string }>>;

/** One example and one sentence for each, as `GET /` shows them. */
export const actionGuide = ({ engine, other, elbow, amplified, gauge }: Things): Guide => ({
  throttle: {
    example: { engine, value: 0.8 },
    what: '0 stops the engine, 0.05 idles, 1 is wide open',
  },
  'bag-intake': { example: { engine: other }, what: 'a plastic bag over the raw-water intake' },
  'clear-intake': { example: { engine: other }, what: 'removes the bag' },
  'shed-vane': {
    example: { engine, flowLeft: 0.5 },
    what: 'impeller vanes break; this share of the flow is left',
  },
  'new-impeller': { example: { engine }, what: 'full flow again' },
  'clog-strainer': { example: { engine, flowLeft: 0.6 }, what: 'weed in the strainer; 1 is clean' },
  'foul-exchanger': {
    example: { engine, heatLeft: 0.5 },
    what: 'scale in the cooler; this share of its heat transfer is left',
  },
  'rough-sea': { example: { value: 1 }, what: '0 is calm, 1 makes intakes draw air' },
  'sea-temperature': { example: { temperatureC: 24 }, what: 'warmer or colder water, at once' },
  'running-input': {
    example: { engine, reads: 'off' },
    what: 'the running input sticks on or off, chatters, or is right',
  },
  'open-probe': { example: { probe: elbow }, what: faults.open },
  'short-probe': { example: { probe: elbow }, what: faults.short },
  fault: {
    example: { probe: amplified, fault: 'absent' },
    what: 'any fault; GET / lists which a probe can have',
  },
  chip: {
    example: { probe: amplified, model: 'MCP9600' },
    what: 'swaps the amplifier; an MCP9600 cannot see a broken wire',
  },
  hose: {
    example: { probe: gauge, heightM: 1.5 },
    what: 'a hose of fresh water at 20 C held up beside a pressure probe; without a height it is back on its engine',
  },
  'restore-probe': {
    example: { probe: elbow },
    what: 'the probe, its wires and its chip are whole again',
  },
  dip: {
    example: { probe: elbow, bath: 'ice' },
    what: 'into ice, boiling water, or a bath of this many degrees C; "settled":true as if it had been there for minutes',
  },
  undip: { example: { probe: elbow }, what: 'back to its place aboard' },
  pressure: { example: { hectopascals: 1003 }, what: 'air pressure around the kettle' },
  unplug: { example: {}, what: 'pulls the cable; "boardPower":"kept" for a board with a supply of its own' },
  replug: { example: {}, what: 'puts the cable back' },
  'power-off': { example: {}, what: 'takes the power from the board, cable in place' },
  'power-on': { example: {}, what: 'gives it back' },
  'reset-board': { example: {}, what: 'presses the reset button' },
  'freeze-board': { example: {}, what: 'the processor stops; its outputs stay as they are' },
  'thaw-board': { example: {}, what: 'it continues where it stopped' },
  'hold-bus': { example: {}, what: 'a chip holds the I2C wires; the firmware hangs at its next request' },
  'release-bus': { example: {}, what: 'lets them go; the firmware needs a reset to come back' },
  buzzer: {
    example: { fault: 'pin-wire' },
    what: `a fault of the buzzer, seen where its current is read back: ${buzzerFaultNames.join(', ')}; null repairs it`,
  },
  'line-noise': {
    example: { bitErrorsPerMillionBytes: 100 },
    what: 'flips bits on the serial line, both ways; 0 is clean',
  },
});
