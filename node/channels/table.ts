import { z } from 'zod';
import { ad8495 } from './ad8495.js';
import { ad8495Ads1115 } from './ad8495-ads1115.js';
import type { ChannelKind } from './kind.js';
import { mcp960x } from './mcp960x.js';
import { ntcDivider } from './ntc-divider.js';
import { ntcDividerAds1115 } from './ntc-divider-ads1115.js';
import { platinumDividerAds1115 } from './platinum-divider-ads1115.js';
import { ratiometricPressure } from './ratiometric-pressure.js';
import { speedVolts } from './speed-volts.js';
import { thermocoupleAds1115 } from './thermocouple-ads1115.js';

/**
 * Every kind of channel a kit can have. A new kind is one file like its neighbours and one line here; the compiler then
 * asks for its simulator (`node/bench/channels/table.ts`).
 */
const kinds = {
  'ntc-divider': ntcDivider,
  mcp960x,
  ad8495,
  'ntc-divider-ads1115': ntcDividerAds1115,
  'platinum-divider-ads1115': platinumDividerAds1115,
  'ad8495-ads1115': ad8495Ads1115,
  'thermocouple-ads1115': thermocoupleAds1115,
  'ratiometric-pressure': ratiometricPressure,
  'speed-volts': speedVolts,
} as const;

type Kinds = typeof kinds;
export type KindName = keyof Kinds;
/** The settings of a channel, by its kind. */
export type ChannelOf = { readonly [K in KindName]: z.infer<Kinds[K]['schema']> };
/** How a probe is read. */
export type Channel = ChannelOf[KindName];

/** Each kind under its own name, so that a file cannot be entered under another's. */
export const channelKinds: { readonly [K in KindName]: ChannelKind<Extract<Channel, { kind: K }>> } = kinds;

export const kindNames = Object.keys(channelKinds) as KindName[];

type Schema = Kinds[KindName]['schema'];
export const channelSchema = z.discriminatedUnion(
  'kind',
  kindNames.map((name) => kinds[name].schema) as [Schema, ...Schema[]],
);

/** The descriptor of a channel. The map above holds each under its own kind, which is what makes the cast right. */
export const kindOf = (channel: Channel): ChannelKind<Channel> =>
  channelKinds[channel.kind] as unknown as ChannelKind<Channel>;
