import { missingPulseFor } from './missing-pulse.js';
import type { Plan, PlannedProbe } from './plan.js';
import { missingPulseSketch } from './sketch/missing-pulse.js';
import { ntcDividerSketch } from './sketch/ntc-divider.js';
import { lampSketch, powerSketch, runningInputSketch } from './sketch/outputs-and-inputs.js';
import { placementSketch } from './sketch/placement.js';
import { ringProbeSketch } from './sketch/ring-probe.js';
import { ad8495Sketch, mcp960xSketch } from './sketch/thermocouple-amplifier.js';
import { ohmsText } from './sketch/value-text.js';

const hex = (address: number) => `0x${address.toString(16)}`;

const probeSketch = ({ name, connection, plan }: PlannedProbe, { answers }: Plan): string => {
  if (connection.over === 'mcp9601')
    return mcp960xSketch({
      title: `${name}: type K at ${hex(connection.address)}`,
      address: connection.address,
      thermocouple: 'K',
    });
  const pin = connection.over === 'pin' ? connection.pin : connection.input;
  if (plan.kind === 'thermocouple') return ad8495Sketch({ title: `${name}: type K on ${pin}`, pin });
  const fine = connection.over === 'ads1115';
  return ntcDividerSketch({
    title: `${name}: NTC on ${pin}${fine ? ` of the ADS1115 at ${hex(connection.address)}` : ''}`,
    pin,
    resistorOhms: plan.choice.resistorOhms,
    thermistor: `${ohmsText(answers.thermistor.r25Ohms)} at 25 °C`,
    thermistorSide: 'low',
    reference: `${answers.supplyVolts} V`,
    ...(fine
      ? { note: `${connection.supplyInput} of the same chip goes to its ${answers.supplyVolts} V.` }
      : {}),
  });
};

/** File name to drawing: one wiring sketch per probe, then what all kits share. */
export const sketchesFor = (plan: Plan): ReadonlyMap<string, string> => {
  const { digital } = plan.allocation;
  const running = (['port', 'starboard'] as const).flatMap((engine): [string, string][] => {
    const pin = digital[engine];
    const title = `${engine === 'port' ? 'Port' : 'Starboard'} engine: running input`;
    return pin === undefined ? [] : [[`running-${engine}.svg`, runningInputSketch({ title, pin })]];
  });
  return new Map([
    ...plan.probes.map((probe): [string, string] => [`${probe.id}.svg`, probeSketch(probe, plan)]),
    ...running,
    ['lamp.svg', lampSketch({ title: 'Lamp at the helm', pin: digital.lampPin })],
    ['missing-pulse.svg', missingPulseSketch(missingPulseFor(plan.answers.supplyVolts).parts)],
    ['power.svg', powerSketch()],
    ['placement.svg', placementSketch()],
    ['ring-probe.svg', ringProbeSketch()],
  ]);
};
