import type { Allocation, Connection } from './allocate.js';
import type { PlanAnswers } from './answers.js';
import type { DividerChoice } from './best-resistor.js';
import type { BusLoad } from './bus-load.js';
import type { MissingPulseTiming } from './missing-pulse.js';
import type { NtcPoint } from './ntc-budget.js';
import type { Part } from './part.js';
import type { PlannedSpot } from './places.js';
import type { PlannedGauge } from './pressure/planned-gauges.js';
import type { ResponseCost } from './response.js';
import type { ThermocouplePoint } from './thermocouple-budget.js';

export type NtcPlan = {
  readonly kind: 'ntc';
  /** What senses: thermistor, platinum element. */
  readonly element: string;
  readonly choice: DividerChoice;
  /** At the points of the range and at every setpoint, rising. */
  readonly points: readonly NtcPoint[];
  /** The point that matters: the alarm, or the middle of the range. */
  readonly best: NtcPoint;
  readonly converter: {
    readonly chosen: 'board' | 'ads1115';
    readonly why: string;
    /** Standard uncertainty of the circuit at the point that matters. */
    readonly boardC: number;
    readonly ads1115C: number;
  };
};

export type ThermocouplePlan = {
  readonly kind: 'thermocouple';
  readonly points: readonly ThermocouplePoint[];
  readonly best: ThermocouplePoint;
};

export type PlannedProbe = PlannedSpot & {
  readonly connection: Connection;
  readonly timeConstantS: readonly [shortest: number, longest: number];
  readonly plan: NtcPlan | ThermocouplePlan;
};

export type Plan = {
  readonly answers: PlanAnswers;
  readonly probes: readonly PlannedProbe[];
  readonly gauges: readonly PlannedGauge[];
  readonly allocation: Allocation;
  readonly bus: BusLoad;
  /** What a ring costs against a well at the elbow's alarm. */
  readonly response: readonly ResponseCost[];
  readonly missingPulse: MissingPulseTiming;
  readonly parts: readonly Part[];
  readonly remarks: readonly string[];
};
