import {
  type PlatinumClass,
  platinumOhms,
  platinumOhmsPerC,
  platinumToleranceC,
  type ThermistorLaw,
  thermistorOhms,
  thermistorSlopeCPerOhm,
} from '../../calibration/index.js';
import type { PlanAnswers } from './answers.js';
import { ohmsText } from './sketch/value-text.js';

/** A thermistor as its datasheet gives it, or a platinum element of IEC 60751. */
type SensingPart =
  | {
      readonly law: ThermistorLaw;
      readonly r25Ohms: number;
      readonly betaK: number;
      readonly r25TolerancePercent: number;
      readonly betaTolerancePercent: number;
    }
  | { readonly r0Ohms: number; readonly grade: PlatinumClass };

/** What a divider is planned around. */
export type Part = SensingPart & {
  /** Milliwatts that raise it by one degree, as mounted. */
  readonly dissipationMwPerC: number;
};

/** How the resistance of a part goes with its temperature, and how far a part as bought may be off. */
export type Element = {
  readonly ohmsAt: (temperatureC: number) => number;
  /** Size of its slope, degrees an ohm. */
  readonly cPerOhm: (temperatureC: number) => number;
  /** Half-width of its tolerance, degrees. */
  readonly toleranceC: (temperatureC: number) => number;
};

const kelvin = (temperatureC: number) => temperatureC + 273.15;

/** Its functions throw ThermometryError where the part has no resistance. */
export const elementOf = (part: SensingPart): Element => {
  if ('r0Ohms' in part) {
    const { r0Ohms, grade } = part;
    return {
      ohmsAt: (t) => platinumOhms(r0Ohms, t),
      cPerOhm: (t) => 1 / platinumOhmsPerC(r0Ohms, t),
      toleranceC: (t) => platinumToleranceC(grade, t),
    };
  }
  const { law, r25TolerancePercent, betaTolerancePercent } = part;
  const cPerOhm = (t: number) => Math.abs(thermistorSlopeCPerOhm(law, thermistorOhms(law, t)));
  return {
    ohmsAt: (t) => thermistorOhms(law, t),
    cPerOhm,
    toleranceC: (t) =>
      Math.hypot(
        (cPerOhm(t) * thermistorOhms(law, t) * r25TolerancePercent) / 100,
        (kelvin(t) ** 2 * Math.abs(1 / kelvin(t) - 1 / kelvin(25)) * betaTolerancePercent) / 100,
      ),
  };
};

/** What the answers make of the slow probes: the part, its words for lists and drawings, and its lines in the kit. */
export const plannedElement = ({ thermistor, platinum }: PlanAnswers) => {
  const { r25Ohms, betaK, r25TolerancePercent } = thermistor;
  if (platinum) {
    const name = `Pt${platinum.r0Ohms}`;
    return {
      part: platinum,
      /** Its steps are too small for the board's ten bits. */
      alwaysFine: true,
      kind: 'platinum-divider',
      name: 'platinum element',
      mark: name,
      value: `${platinum.r0Ohms} Ω at 0 °C`,
      toBuy: `${name} film element, class ${platinum.grade} of IEC 60751, with leads, rated 150 °C or more (200 °C is better)`,
      fields: { ...platinum },
    } as const;
  }
  const law = { law: 'beta', r25Ohms, betaK } as const;
  return {
    part: { ...thermistor, law },
    alwaysFine: false,
    kind: 'ntc-divider',
    name: 'thermistor',
    mark: 'NTC',
    value: `${ohmsText(r25Ohms)} at 25 °C`,
    toBuy: `NTC thermistor ${ohmsText(r25Ohms)} at 25 °C, B25/85 ${betaK} K, ${r25TolerancePercent} %, glass bead, rated 150 °C or more (200 °C is better)`,
    fields: { thermistorSide: 'low', thermistor: law },
  } as const;
};
