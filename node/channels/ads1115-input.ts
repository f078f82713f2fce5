import { z } from 'zod';
import type { Ads1115Answer } from '../chips/ads1115.js';
import type { AdsInput } from '../chips/ads1115-registers.js';
import { PolledChannel } from '../input/polled-channel.js';
import { reasonOfChip, type Sample } from '../input/sample.js';
import type { ProbeId } from '../reading/reading.js';
import { ads1115 } from './chip.js';
import { ads1115Address, hex, singleInput } from './fields.js';
import type { InputBoard } from './kind.js';

/** Four inputs of one converter at 8 ms a conversion and four messages each leave room for this. */
const everyMs = 200;

type Answered = Extract<Ads1115Answer, { kind: 'sample' }>;

type OnAds1115 = { readonly address: number; readonly input: string };

/** AIN0, AIN1 and AIN2 can each be read against this one (SBAS444D, table 8, MUX). */
const sharedNegative = 'AIN3';
const inputOf = (address: number, name: string): string => `address ${hex(address)} input ${name}`;

/** What all kinds share that are read through an ADS1115. */
export const onAds1115 = {
  chip: ads1115,
  takes: ({ address, input }: OnAds1115) =>
    input
      .split('-')
      .filter((name, side) => side === 0 || name !== sharedNegative)
      .map((name) => inputOf(address, name)),
  shares: ({ address, input }: OnAds1115) =>
    input.endsWith(`-${sharedNegative}`)
      ? [{ what: inputOf(address, sharedNegative), as: 'the minus side of differential inputs' }]
      : [],
  inputName: ({ address, input }: OnAds1115) => `${hex(address)} ${input}`,
  wired: ({ address, input }: OnAds1115): unknown => [address, input],
  open: (probe: ProbeId, channel: OnAds1115, board: InputBoard) => openAds1115(probe, channel, board),
};

/** The lines of a divider that an ADS1115 reads. */
export const ads1115DividerFields = {
  address: ads1115Address,
  input: singleInput,
  /** The input that sees the divider's supply, so that the supply cancels; without it `supplyVolts` is believed. */
  supplyInput: singleInput.optional(),
  supplyVolts: z.number().min(1.8).max(5.5).default(5),
};
const dividerLines = z.object(ads1115DividerFields);
type DividerOnAds1115 = z.infer<typeof dividerLines>;

/** What all dividers share that are read through an ADS1115. */
export const dividerOnAds1115 = {
  ...onAds1115,
  wired: ({ address, input, supplyInput, supplyVolts }: DividerOnAds1115): unknown => [
    address,
    input,
    supplyInput,
    supplyVolts,
  ],
  shares: ({ address, supplyInput }: DividerOnAds1115) =>
    supplyInput === undefined ? [] : [{ what: inputOf(address, supplyInput), as: 'the supply of dividers' }],
  supplyVolts: ({ supplyVolts }: DividerOnAds1115) => supplyVolts,
  open(
    probe: ProbeId,
    { address, input, supplyInput, supplyVolts }: DividerOnAds1115,
    board: InputBoard,
  ): PolledChannel {
    const chip = board.converterAt(address);
    return openAds1115(probe, { address, input }, board, async (answer) => {
      if (supplyInput === undefined) return againstSupply(answer, supplyVolts);
      const supply = await chip.read(adsInput(supplyInput));
      return supply.kind === 'fault' ? unanswered(supply) : againstSupply(answer, supply.volts);
    });
  },
};

/** Opens one input of an ADS1115; the chip takes its inputs in turn. `sampleOf` says what an answer means. */
const openAds1115 = (
  probe: ProbeId,
  { address, input }: OnAds1115,
  { converterAt, turn, clock }: InputBoard,
  sampleOf: (answer: Answered) => Sample | Promise<Sample> = inVolts,
): PolledChannel => {
  const chip = converterAt(address);
  const ask = async (): Promise<Sample> => {
    const answer = await chip.read(adsInput(input));
    return answer.kind === 'fault' ? unanswered(answer) : sampleOf(answer);
  };
  return new PolledChannel({ probe, clock, everyMs, ...(turn && { turn }), ask });
};

/** `AIN0` is 0 against ground, `AIN0-AIN1` is 0 against 1. */
const adsInput = (name: string): AdsInput => name.replaceAll('AIN', '') as AdsInput;

const unanswered = ({ fault, detail }: Extract<Ads1115Answer, { kind: 'fault' }>): Sample => ({
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
const againstSupply = ({ volts, stepVolts }: Answered, supplyVolts: number): Sample => ({
  kind: 'counts',
  counts: volts / stepVolts,
  fullScale: Math.max(supplyVolts / stepVolts, 1),
  noiseCounts: 0,
  taken: 1,
  strays: 0,
});
