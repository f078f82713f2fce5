import type { Ads1115, Ads1115Answer } from '../chips/ads1115.js';
import type { AdsInput } from '../chips/ads1115-registers.js';
import type { Channel as ChannelSettings } from '../kit/schema.js';
import type { ProbeId } from '../reading/reading.js';
import type { Clock } from '../time/clock.js';
import { PolledChannel } from './polled-channel.js';
import { reasonOfChip, type Sample } from './sample.js';

type Settings = Extract<ChannelSettings, { kind: `${string}-ads1115` }>;

/** Four inputs of one converter at 8 ms a conversion and four messages each leave room for this. */
const everyMs = 200;

/** One input of an ADS1115; the chip takes its inputs in turn. */
export const ads1115Channel = (
  probe: ProbeId,
  settings: Settings,
  chip: Ads1115,
  clock: Clock,
): PolledChannel => {
  const ask = async (): Promise<Sample> => {
    const answer = await chip.read(inputOf(settings.input));
    if (answer.kind === 'fault') return unanswered(answer);
    if (settings.kind !== 'ntc-divider-ads1115') return answerInVolts(answer);
    if (settings.supplyInput === undefined) return againstSupply(answer, settings.supplyVolts);
    const supply = await chip.read(inputOf(settings.supplyInput));
    if (supply.kind === 'fault') return unanswered(supply);
    return againstSupply(answer, supply.volts);
  };
  return new PolledChannel({ probe, clock, everyMs, ask });
};

/** `AIN0` is 0 against ground, `AIN0-AIN1` is 0 against 1. */
const inputOf = (name: string): AdsInput => name.replaceAll('AIN', '') as AdsInput;

const unanswered = ({ fault, detail }: Extract<Ads1115Answer, { kind: 'fault' }>): Sample => ({
  kind: 'nothing',
  reason: reasonOfChip(fault),
  fault,
  detail,
});

type Answered = Extract<Ads1115Answer, { kind: 'sample' }>;

const answerInVolts = ({ volts, stepVolts, atLimit }: Answered): Sample => ({
  kind: 'volts',
  volts,
  stepVolts,
  atLimit,
});

/** As counts of a converter whose whole scale is the supply: the same arithmetic as on the board's own. */
const againstSupply = ({ volts, stepVolts }: Answered, supplyVolts: number): Sample => ({
  kind: 'counts',
  counts: volts / stepVolts,
  fullScale: Math.max(supplyVolts / stepVolts, 1),
  noiseCounts: 0,
  taken: 1,
  strays: 0,
});
