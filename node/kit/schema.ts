import { z } from 'zod';
import { analoguePin, slug } from '../channels/fields.js';
import { channelSchema, kindOf } from '../channels/table.js';
import { buzzerCurrent } from './buzzer-current.js';
import {
  alikeSchema,
  allEngines,
  digitalPin,
  engineOrAll,
  enginesOf,
  enginesSchema,
  engineTroubles,
} from './engines.js';
import { limit } from './limit.js';
import { type Place, places, quantityAt } from './places.js';
import { setpointTroubles } from './setpoints.js';

const isShared = (place: Place): boolean => place === 'sea-water' || place === 'engine-room';

const fileName = z.string().min(1).max(500);
/** As `openerFor` and the bench understand it. */
const connection = z
  .string()
  .regex(
    /^(auto|bench|\/.+|COM\d+|tcp:\/\/(\[[^\]]+\]|[^:/]+):\d{1,5}\/?)$/i,
    'must be auto, bench, a serial path such as /dev/ttyACM0 or COM3, or tcp://host:port',
  );
/** As `parseListenAddress` understands it. */
const listenAddress = z
  .string()
  .regex(/^(\[[0-9a-f:]+\]|[^:\s]+):\d{1,5}$/i, 'must be host:port, for example 127.0.0.1:8472');

const probe = z.strictObject({
  id: slug,
  name: z.string().min(1).max(60),
  /** The id of an engine, or `all` for what they share; the obvious one when left out. */
  engine: slug.optional(),
  place: z.enum(places),
  mounting: z.enum(['strap-on', 'well', 'free']).default('strap-on'),
  channel: channelSchema,
  /** High limits. A probe without limits is shown and stored and raises only probe faults. */
  limits: z.strictObject({ alarm: limit.optional(), warning: limit.optional() }).default({}),
  /** Path of a calibration certificate, relative to the kit file. */
  certificate: fileName.optional(),
});

/** On a boat with one engine every probe of an exhaust is that engine's. */
const engineOf = (
  { engine, place }: Pick<z.infer<typeof probe>, 'engine' | 'place'>,
  only: string | undefined,
): string => {
  const named = engine === undefined ? undefined : engineOrAll(engine);
  if (isShared(place)) return named ?? allEngines;
  return only !== undefined && (named === undefined || named === allEngines) ? only : (named ?? '');
};

const referencePin = z.strictObject({
  pin: analoguePin,
  shareOfSupply: z.number().min(0.1).max(0.9).default(0.5),
});

export const kitSchema = z
  .strictObject({
    /** Version of this file's layout. */
    kit: z.literal(1),
    boat: z.strictObject({ name: z.string().min(1).max(60), invented: z.boolean().default(false) }),
    /** Names this node among others on the boat. */
    node: slug.default('engine-room'),
    /** `auto`, `bench`, a serial path such as /dev/ttyACM0 or COM3, or tcp://host:port. */
    board: z.strictObject({ connection, sampleHz: z.number().min(1).max(10).default(10) }),
    outputs: z.strictObject({ buzzerPin: digitalPin, lampPin: digitalPin, heartbeatPin: digitalPin }),
    engines: enginesSchema,
    /** Engines that are compared with each other: one group, or a list of groups. */
    alike: alikeSchema,
    /** A spare analogue pin tied to a known share of the supply, such as the middle of two equal resistors. */
    referencePin: referencePin.optional(),
    /** What kit files of version 0.1 call the reference pin. */
    canary: referencePin.optional(),
    /** Where the buzzer's current is read back. */
    buzzerCurrent: buzzerCurrent.optional(),
    /** After a blindness was acknowledged, a reminder sounds this often while its engine runs. */
    reminderMinutes: z.number().min(1).max(30).default(10),
    /**
     * An elbow probe that nothing moved for this many hours of running is doubted: the crew is asked to change the throttle,
     * and after as long again it counts as lost.
     */
    proofHours: z.number().min(0.5).max(6).default(2),
    probes: z.array(probe).min(1).max(32),
    /** Path of what commissioning learned of this boat's engines, relative to the kit file. */
    baseline: fileName.optional(),
    /** Where the host finds this node: host:port to listen on, or a second serial port. */
    link: z
      .discriminatedUnion('over', [
        z.strictObject({ over: z.literal('tcp'), listen: listenAddress }),
        z.strictObject({
          over: z.literal('serial'),
          path: z.string(),
          baud: z.number().int().default(57600),
        }),
      ])
      .default({ over: 'tcp', listen: '127.0.0.1:8472' }),
  })
  .transform(({ engines, alike, probes, canary, referencePin = canary, ...kit }) => {
    const list = enginesOf(engines, alike);
    const only = list.engines.length === 1 ? list.engines[0]?.id : undefined;
    return {
      ...kit,
      referencePin,
      ...list,
      probes: probes.map((entry) => ({ ...entry, engine: engineOf(entry, only) })),
    };
  })
  .superRefine((kit, context) => {
    for (const { path, message } of engineTroubles(kit, kit.outputs))
      context.addIssue({ code: 'custom', path: [...path], message });
    const known = [...kit.engines.map(({ id }) => id), allEngines];
    kit.probes.forEach(({ engine }, index) => {
      if (known.includes(engine)) return;
      const message =
        engine === ''
          ? `which engine is it on? One of ${known.join(', ')}`
          : `${engine} is no engine of this kit; expected one of ${known.join(', ')}`;
      context.addIssue({ code: 'custom', path: ['probes', index, 'engine'], message });
    });
    const taken = new Map<string, string>();
    if (kit.referencePin) taken.set(`pin ${kit.referencePin.pin}`, 'the reference pin');
    if (kit.buzzerCurrent) {
      const { pin } = kit.buzzerCurrent;
      const by = taken.get(`pin ${pin}`);
      if (by)
        context.addIssue({
          code: 'custom',
          path: ['buzzerCurrent', 'pin'],
          message: `pin ${pin} is already taken by ${by}`,
        });
      taken.set(`pin ${pin}`, "the buzzer's current");
    }
    kit.probes.forEach(({ id, place, channel, limits }, index) => {
      const trouble = (message: string) =>
        context.addIssue({ code: 'custom', path: ['probes', index], message });
      const kind = kindOf(channel);
      for (const use of [`id ${id}`, ...kind.takes(channel)]) {
        const by = taken.get(use);
        if (by === undefined) taken.set(use, `probe ${id}`);
        else trouble(`${use} is already taken by ${by}`);
      }
      for (const { what, as } of kind.shares?.(channel) ?? []) {
        const by = taken.get(what);
        if (by === undefined) taken.set(what, as);
        else if (by !== as) trouble(`${what} is needed as ${as}, and is already taken by ${by}`);
      }
      if (kind.meter.quantity !== quantityAt[place])
        trouble(
          `a channel of kind ${channel.kind} measures ${kind.meter.quantity}, and at ${place} it must be ${quantityAt[place]}`,
        );
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
