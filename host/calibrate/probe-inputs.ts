import {
  ad8495Chain,
  ads1115Divider,
  ads1115ThermocoupleChain,
  boardDivider,
  type CalibratedInput,
  mcp960xChain,
  type ToleranceClass,
} from '../../calibration/index.js';
import type { Kit } from '../../node/index.js';

type KitProbe = Kit['probes'][number];

/** Counts of the board's own converter over its supply; ADS1115 steps at its 6.144 V range. */
const boardCounts = 1024;
const ads1115StepVolts = 187.5e-6;

/** What a calibration needs to know of a probe, from its lines in the kit file. */
export function inputOf(probe: KitProbe, wire: ToleranceClass): CalibratedInput {
  const { name, channel } = probe;
  switch (channel.kind) {
    case 'ntc-divider':
    case 'ntc-divider-ads1115': {
      const { resistorOhms, thermistorSide, thermistor } = channel;
      const divider = { resistorOhms, thermistorSide };
      const chain =
        channel.kind === 'ntc-divider' ? boardDivider(divider) : ads1115Divider(divider, channel.supplyVolts);
      return { name, sensor: { kind: 'thermistor', law: thermistor }, chain };
    }
    case 'mcp960x':
      return {
        name,
        sensor: { kind: 'thermocouple', type: channel.thermocouple },
        chain: mcp960xChain(wire),
      };
    case 'thermocouple-ads1115':
      return {
        name,
        sensor: { kind: 'thermocouple', type: channel.thermocouple },
        chain: ads1115ThermocoupleChain(wire),
      };
    case 'ad8495':
    case 'ad8495-ads1115': {
      const stepVolts = channel.kind === 'ad8495' ? channel.supplyVolts / boardCounts : ads1115StepVolts;
      return {
        name,
        sensor: { kind: 'ad8495', referenceVolts: channel.referenceVolts },
        chain: ad8495Chain(stepVolts, wire),
      };
    }
  }
}
