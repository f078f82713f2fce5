import { z } from 'zod';

const slug = z.string().regex(/^[a-z][a-z0-9-]{0,39}$/, 'small letters, digits and hyphens, letter first');

export const engines = ['port', 'starboard'] as const;
export type Engine = (typeof engines)[number];

/** Where a probe sits. `sea-water` and `engine-room` belong to both engines. */
export const places = ['wet-elbow', 'dry-exhaust', 'before-turbo', 'sea-water', 'engine-room'] as const;
export type Place = (typeof places)[number];

const thermistor = z.discriminatedUnion('law', [
  z.strictObject({
    law: z.literal('beta'),
    r25Ohms: z.number().positive(),
    betaK: z.number().min(1000).max(7000),
  }),
  z.strictObject({ law: z.literal('steinhart-hart'), a: z.number(), b: z.number(), c: z.number() }),
]);

const i2cAddress = z.number().int().min(0x08).max(0x77);

const analoguePin = z.string().regex(/^A\d{1,2}$/, 'an analogue pin such as A0');

/** How a probe is read. One kind per input circuit or chip. */
const channel = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('ntc-divider'),
    pin: analoguePin,
    resistorOhms: z.number().positive(),
    thermistorSide: z.enum(['low', 'high']).default('low'),
    thermistor,
  }),
  z.strictObject({
    kind: z.literal('mcp960x'),
    address: i2cAddress,
    thermocouple: z.enum(['B', 'E', 'J', 'K', 'N', 'R', 'S', 'T']).default('K'),
  }),
  z.strictObject({
    kind: z.literal('ad8495'),
    pin: analoguePin,
    supplyVolts: z.number().min(2.7).max(5.5).default(5),
    referenceVolts: z.number().min(0).max(2.5).default(0),
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
  channel,
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
    const seen = new Map<string, number>();
    kit.probes.forEach((p, index) => {
      const uses = [
        `id ${p.id}`,
        'pin' in p.channel ? `pin ${p.channel.pin}` : `address ${p.channel.address}`,
      ];
      for (const use of uses) {
        const first = seen.get(use);
        if (first === undefined) seen.set(use, index);
        else
          context.addIssue({
            code: 'custom',
            path: ['probes', index],
            message: `${use} is already taken by probe ${kit.probes[first]?.id}`,
          });
      }
    });
  });

/** The kit as the owner described it, checked and with its defaults filled in. */
export type Kit = z.infer<typeof kitSchema>;
export type Probe = Kit['probes'][number];
export type Channel = Probe['channel'];
export type Limit = z.infer<typeof limit>;
