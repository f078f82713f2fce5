import { type ADCConfig, ADCMuxInputType, AVRADC, type CPU } from 'avr8js';

/** The 10-bit converter of the chip; `countsOf` a channel is before clipping and truncation, undefined where nothing is connected. */
export const attachConverter = (
  cpu: CPU,
  config: ADCConfig,
  countsOf: (channel: number) => number | undefined,
): void => {
  const adc = new AVRADC(cpu, config);
  /** An unconnected input keeps about the charge of the channel converted before it. */
  let held = 0;
  adc.onADCRead = (input) => {
    if (input.type === ADCMuxInputType.SingleEnded) held = countsOf(input.channel) ?? held;
    else held = input.type === ADCMuxInputType.Constant ? (input.voltage / 5) * 1024 : held;
    const counts = Math.min(Math.max(Math.floor(held), 0), 1023);
    cpu.addClockEvent(() => adc.completeADCRead(counts), adc.sampleCycles);
  };
};
