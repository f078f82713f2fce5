import { z } from 'zod';
import { setpointTroubles } from './setpoints.js';

const slug = z.string().regex(/^[a-z][a-z0-9-]{0,39}$/, 'small letters, digits and hyphens, letter first');

export const engines = ['port', 'starboard'] as const;
export type Engine = (typeof engines)[number];

/** Where a probe sits. `sea-water` and `engine-room` belong to both engines. */
export const places = ['wet-elbow', 'dry-exhaust', 'before-turbo', 'sea-water', 'engine-room'] as const;
export type Place = (typeof places)[number];

const thermistor = z.discriminatedUnion('law', [
  z.strictObject({
    law: z.literal('beta'),
    r25Ohms: z.number().min(100).max(10e6),
    betaK: z.number().min(1000).max(7000),
  }),
  z.strictObject({ law: z.literal('steinhart-hart'), a: z.number(), b: z.number(), c: z.number() }),
  z.strictObject({
    law: z.literal('steinhart-hart-4'),
    a: z.number(),
    b: z.number(),
    c: z.number(),
    d: z.number(),
    referenceOhms: z.number().positive(),
  }),
]);

/** MCP9600/9601 datasheet DS20005426, table 6-1: set by the voltage at the ADDR pin. */
const mcp960xAddress = z.number().int().min(0x60).max(0x67);
/** ADS1115 datasheet SBAS444D, 9.5.1.1: set by what the ADDR pin is tied to. */
const ads1115Address = z.number().int().min(0x48).max(0x4b);

const letterType = z.enum(['B', 'E', 'J', 'K', 'N', 'R', 'S', 'T']).default('K');
const singleInput = z.enum(['AIN0', 'AIN1', 'AIN2', 'AIN3']);
const analoguePin = z.string().regex(/^A\d{1,2}$/, 'an analogue pin such as A0');

/** How a probe is read. One kind per input circuit or chip. */
const channelSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('ntc-divider'),
    pin: analoguePin,
    resistorOhms: z.number().min(100).max(10e6),
    thermistorSide: z.enum(['low', 'high']).default('low'),
    thermistor,
  }),
  z.strictObject({
    kind: z.literal('mcp960x'),
    address: mcp960xAddress,
    thermocouple: letterType,
  }),
  z.strictObject({
    kind: z.literal('ad8495'),
    pin: analoguePin,
    supplyVolts: z.number().min(2.7).max(5.5).default(5),
    referenceVolts: z.number().min(0).max(2.5).default(0),
  }),
  z.strictObject({
    kind: z.literal('ntc-divider-ads1115'),
    address: ads1115Address,
    input: singleInput,
    /** The input that sees the divider's supply, so that the supply cancels; without it `supplyVolts` is believed. */
    supplyInput: singleInput.optional(),
    supplyVolts: z.number().min(1.8).max(5.5).default(5),
    resistorOhms: z.number().min(100).max(10e6),
    thermistorSide: z.enum(['low', 'high']).default('low'),
    thermistor,
  }),
  z.strictObject({
    kind: z.literal('ad8495-ads1115'),
    address: ads1115Address,
    input: singleInput,
    referenceVolts: z.number().min(0).max(2.5).default(0),
  }),
  z.strictObject({
    kind: z.literal('thermocouple-ads1115'),
    address: ads1115Address,
    input: z.enum(['AIN0-AIN1', 'AIN0-AIN3', 'AIN1-AIN3', 'AIN2-AIN3']),
    thermocouple: letterType,
    /** The id of the thermistor probe that sits where the thermocouple wires end in copper. */
    coldJunction: slug,
  }),
]);

/** Raise and clear are points on the scale; the condition must hold for `holdS` before the alert is raised. */
const limit = z
  .strictObject({ raiseAtC: z.number(), clearAtC: z.number(), holdS: z.number().min(0).max(60) })
  .refine((l) => l.clearAtC < l.raiseAtC, { message: 'clearAtC must be below raiseAtC', path: ['clearAtC'] });

const probe = z.strictObject({
  id: slug,
  name: z.string().min(1).max(60),
  engine: z.enum([...engines, 'both']),
  place: z.enum(places),
  mounting: z.enum(['strap-on', 'well', 'free']).default('strap-on'),
  channel: channelSchema,
  /** High limits. A probe without limits is shown and stored and raises only probe faults. */
  limits: z.strictObject({ alarm: limit.optional(), warning: limit.optional() }).default({}),
  /** Path of a calibration certificate, relative to the kit file. */
  certificate: z.string().optional(),
});

const digitalPin = z.number().int().min(2).max(53);
const engineInputs = z.strictObject({
  ratedKw: z.number().min(5).max(2000).optional(),
  /** Opto-coupler output fed from ignition or oil pressure. */
  runningInput: z.strictObject({ pin: digitalPin, activeLow: z.boolean().default(true) }).optional(),
});

export const kitSchema = z
  .strictObject({
    /** Version of this file's layout. */
    kit: z.literal(1),
    boat: z.strictObject({ name: z.string().min(1), invented: z.boolean().default(false) }),
    /** Names this node among others on the boat. */
    node: slug.default('engine-room'),
    /** `auto`, `bench`, a serial path such as /dev/ttyACM0 or COM3, or tcp://host:port. */
    board: z.strictObject({ connection: z.string().min(1), sampleHz: z.number().min(1).max(10).default(10) }),
    outputs: z.strictObject({ buzzerPin: digitalPin, lampPin: digitalPin, heartbeatPin: digitalPin }),
    engines: z
      .strictObject({ port: engineInputs.default({}), starboard: engineInputs.default({}) })
      .default({ port: {}, starboard: {} }),
    /** A spare analogue pin tied to a known share of the supply, such as the middle of two equal resistors. */
    canary: z
      .strictObject({ pin: analoguePin, shareOfSupply: z.number().min(0.1).max(0.9).default(0.5) })
      .optional(),
    probes: z.array(probe).min(1).max(32),
    /** Path of what commissioning learnt of this boat's engines, relative to the kit file. */
    baseline: z.string().optional(),
    /** Where the host finds this node: host:port to listen on, or a second serial port. */
    link: z
      .discriminatedUnion('over', [
        z.strictObject({ over: z.literal('tcp'), listen: z.string() }),
        z.strictObject({
          over: z.literal('serial'),
          path: z.string(),
          baud: z.number().int().default(57600),
        }),
      ])
      .default({ over: 'tcp', listen: '127.0.0.1:8472' }),
  })
  .superRefine((kit, context) => {
    const taken = new Map<string, string>();
    if (kit.canary) taken.set(`pin ${kit.canary.pin}`, 'the canary');
    kit.probes.forEach(({ id, place, channel, limits }, index) => {
      const trouble = (message: string) =>
        context.addIssue({ code: 'custom', path: ['probes', index], message });
      for (const use of [`id ${id}`, ...inputsOf(channel)]) {
        const by = taken.get(use);
        if (by === undefined) taken.set(use, `probe ${id}`);
        else trouble(`${use} is already taken by ${by}`);
      }
      for (const { path, message } of setpointTroubles(place, limits))
        context.addIssue({ code: 'custom', path: ['probes', index, ...path], message });
      if (channel.kind !== 'thermocouple-ads1115') return;
      const coldJunction = kit.probes.find((other) => other.id === channel.coldJunction);
      if (!coldJunction?.channel.kind.startsWith('ntc-divider'))
        trouble(`coldJunction ${channel.coldJunction} must be the id of a thermistor probe`);
    });
  });

/** What a channel keeps for itself: one probe at a pin, an address, or one input of a converter. */
const inputsOf = (channel: z.infer<typeof channelSchema>): string[] => {
  if ('pin' in channel) return [`pin ${channel.pin}`];
  const address = `address 0x${channel.address.toString(16)}`;
  return 'input' in channel ? [`${address} input ${channel.input}`] : [address];
};

/** The kit as the owner described it, checked and with its defaults filled in. */
export type Kit = z.infer<typeof kitSchema>;
export type Probe = Kit['probes'][number];
export type Channel = Probe['channel'];
export type Limit = z.infer<typeof limit>;
