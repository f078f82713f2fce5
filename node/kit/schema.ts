import { z } from 'zod';
import { analoguePin, slug } from '../channels/fields.js';
import { channelSchema, kindOf } from '../channels/table.js';
import { limit } from './limit.js';
import { places } from './places.js';
import { setpointTroubles } from './setpoints.js';

export const engines = ['port', 'starboard'] as const;
export type Engine = (typeof engines)[number];

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
    /** A blindness that was acknowledged is called to mind this often while its engine runs. */
    reminderMinutes: z.number().min(1).max(30).default(10),
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
      const kind = kindOf(channel);
      for (const use of [`id ${id}`, ...kind.takes(channel)]) {
        const by = taken.get(use);
        if (by === undefined) taken.set(use, `probe ${id}`);
        else trouble(`${use} is already taken by ${by}`);
      }
      for (const { path, message } of setpointTroubles(place, limits))
        context.addIssue({ code: 'custom', path: ['probes', index, ...path], message });
      const terminals = kind.coldJunction?.(channel);
      if (terminals === undefined) return;
      const at = kit.probes.find((other) => other.id === terminals);
      if (!at || !kindOf(at.channel).servesAsColdJunction)
        trouble(`coldJunction ${terminals} must be the id of a thermistor probe`);
    });
  });

/** The kit as the owner described it, checked and with its defaults filled in. */
export type Kit = z.infer<typeof kitSchema>;
export type Probe = Kit['probes'][number];
