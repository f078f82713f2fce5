import type { Ads1115Answer } from '../chips/ads1115.js';
import type { AdsInput } from '../chips/ads1115-registers.js';
import { PolledChannel } from '../input/polled-channel.js';
import { reasonOfChip, type Sample } from '../input/sample.js';
import type { ProbeId } from '../reading/reading.js';
import type { InputBoard } from './kind.js';

/** Four inputs of one converter at 8 ms a conversion and four messages each leave room for this. */
const everyMs = 200;

type Answered = Extract<Ads1115Answer, { kind: 'sample' }>;

/** Opens one input of an ADS1115; the chip takes its inputs in turn. `sampleOf` says what an answer means. */
export const openAds1115 = (
  probe: ProbeId,
  { address, input }: { readonly address: number; readonly input: string },
  { converterAt, clock }: InputBoard,
  sampleOf: (answer: Answered) => Sample | Promise<Sample> = inVolts,
): PolledChannel => {
  const chip = converterAt(address);
  const ask = async (): Promise<Sample> => {
    const answer = await chip.read(adsInput(input));
    return answer.kind === 'fault' ? unanswered(answer) : sampleOf(answer);
  };
  return new PolledChannel({ probe, clock, everyMs, ask });
};

/** `AIN0` is 0 against ground, `AIN0-AIN1` is 0 against 1. */
export const adsInput = (name: string): AdsInput => name.replaceAll('AIN', '') as AdsInput;

export const unanswered = ({ fault, detail }: Extract<Ads1115Answer, { kind: 'fault' }>): Sample => ({
  kind: 'nothing',
  reason: reasonOfChip(fault),
  fault,
  detail,
});

const inVolts = ({ volts, stepVolts, atLimit }: Answered): Sample => ({
  kind: 'volts',
  volts,
  stepVolts,
  atLimit,
});

/** As counts of a converter whose whole scale is the supply: the same arithmetic as on the board's own. */
export const againstSupply = ({ volts, stepVolts }: Answered, supplyVolts: number): Sample => ({
  kind: 'counts',
  counts: volts / stepVolts,
  fullScale: Math.max(supplyVolts / stepVolts, 1),
  noiseCounts: 0,
  taken: 1,
  strays: 0,
});
