import { describe, expect, it } from 'vitest';
import { answersSchema } from '../../host/plan/answers.js';
import { busLoad } from '../../host/plan/bus-load.js';
import { makePlan } from '../../host/plan/make-plan.js';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import { samplingIntervalMs } from '../../node/index.js';
import { SteppedBoard } from './stepped-board.js';

/** Firmata protocol 2.x; restated here on purpose. */
const reportAnalogPin0 = 0xc0;
const analogMessagePin0 = 0xe0;

/** The planned thermistor, as resistances of its own beta equation; no planning code between. */
const ohmsAt = (temperatureC: number) => 10_000 * Math.exp(3977 * (1 / (temperatureC + 273.15) - 1 / 298.15));

const listening = async (analogCounts: (channel: number) => number | undefined, channels: number) => {
  const board = new SteppedBoard({ outside: { ...nothingConnected, analogCounts } });
  const bytes: number[] = [];
  board.emulation.line.open((more) => bytes.push(...more));
  await board.advanceUntil(() => bytes.includes(0xf7), 4);
  for (let channel = 0; channel < channels; channel++)
    board.emulation.line.fromComputer(Uint8Array.of(reportAnalogPin0 + channel, 1));
  await board.advance(0.5);
  return { board, bytes };
};

describe('the plan against the stock firmware in the emulated board', () => {
  const plan = makePlan(answersSchema.parse({ plan: 1, boat: 'Marsh Harrier (invented)' }));

  it('its counts are the counts the firmware reports, at every point of the elbow’s table', async () => {
    const elbow = plan.probes[0]?.plan;
    if (elbow?.kind !== 'ntc') throw new Error('the elbow is no thermistor');
    const { resistorOhms } = elbow.choice;
    let temperatureC = 0;
    const { board, bytes } = await listening((channel) => {
      const ohms = ohmsAt(temperatureC);
      return channel === 0 ? (1024 * ohms) / (ohms + resistorOhms) : undefined;
    }, 1);
    let worst = 0;
    for (const point of elbow.points) {
      temperatureC = point.temperatureC;
      await board.advance(0.06);
      bytes.length = 0;
      await board.advance(0.06);
      const at = bytes.indexOf(analogMessagePin0);
      const reported = (bytes[at + 1] ?? 0) + 128 * (bytes[at + 2] ?? 0);
      // A code n means n to n + 1; the plan's cable of 0.3 ohm is not in this circuit.
      worst = Math.max(worst, Math.abs(point.counts - 0.5 - reported));
    }
    expect(elbow.points.length).toBeGreaterThan(14);
    expect(worst).toBeLessThan(0.75);
  });

  it('its bytes a second are what the line carries, within 5 %', async () => {
    const { board, bytes } = await listening((channel) => (channel < 4 ? 512 : undefined), 4);
    // The interval that the node sets (SYSEX, SAMPLING_INTERVAL, twice seven bits; Firmata protocol 2.5).
    board.emulation.line.fromComputer(Uint8Array.of(0xf0, 0x7a, samplingIntervalMs(4), 0, 0xf7));
    await board.advance(0.2);
    bytes.length = 0;
    await board.advance(2);
    const planned = busLoad({
      analogChannels: 4,
      mcp960xChips: 0,
      ads1115Inputs: 0,
      sampleHz: 10,
    }).bytesPerS;
    expect(Math.abs(bytes.length / 2 / planned - 1)).toBeLessThan(0.05);
  });
});
