import type { Bath, Session, SettlingRules, ToleranceClass } from '../../calibration/index.js';
import type { Kit } from '../../node/index.js';
import { inputOf, isThermometer } from './probe-inputs.js';

/** What the words of a command ask for, where they ask for anything. */
export type Asked = {
  /** Only baths that the options name; undefined when they name none. */
  readonly baths?: readonly Bath[] | undefined;
  /** Only when the options name probes. */
  readonly probes?: readonly string[] | undefined;
  /** Only when the options name a rule. */
  readonly rules?: Partial<SettlingRules> | undefined;
};

/**
 * Why not to continue an unfinished session under these options, or undefined: what was asked now must be
 * what was taken then, or a mistyped pressure would be certified in silence.
 */
export function differenceFrom(left: Session, { baths, probes, rules }: Asked): string | undefined {
  const then = Object.keys(left.probes).sort().join(', ');
  const now = probes && [...probes].sort().join(', ');
  if (now !== undefined && then !== now) return `it is about ${then}, and these options are about ${now}`;
  const holdS = rules?.holdS ?? left.rules.holdS;
  const trendCPerMin = rules?.trendCPerMin ?? left.rules.trendCPerMin;
  if (holdS !== left.rules.holdS || trendCPerMin !== left.rules.trendCPerMin)
    return `a probe has settled there after ${settling(left.rules)}, and by these options after ${settling({ holdS, trendCPerMin })}`;
  const strange = baths && left.done.find((taken) => !baths.some((bath) => same(bath, taken)));
  if (!strange) return undefined;
  const near = baths?.find((bath) => bath.kind === strange.kind);
  return near
    ? `it took a ${strange.kind} bath at ${named(strange)}, and these options make it ${named(near)}`
    : `it took a ${strange.kind} bath at ${named(strange)}, and these options have none`;
}

const settling = ({ holdS, trendCPerMin }: SettlingRules): string =>
  `${holdS} s within ${trendCPerMin} C a minute`;

/**
 * What has changed in the kit since an unfinished session was begun, or undefined: its points were read through the circuit
 * of then, and a certificate of now would be about another. `wire` only where it is asked for.
 */
export function kitDifferenceFrom(
  left: Session,
  kitProbes: Kit['probes'],
  wire?: ToleranceClass,
): string | undefined {
  for (const [id, { sensor, chain }] of Object.entries(left.probes)) {
    const probe = kitProbes.find((p) => p.id === id);
    if (!probe || !isThermometer(probe)) return `it is about ${id}, which the kit no longer has`;
    const takenWire = chain.kind === 'amplifier' ? chain.wire : 'iec-2';
    const now = inputOf(probe, wire ?? takenWire);
    // Through JSON, as the session came.
    if (JSON.stringify([now.sensor, now.chain]) !== JSON.stringify([sensor, chain]))
      return `${id} has another circuit, law or wire now than it had then`;
  }
  return undefined;
}

/** The baths that are still to be taken. */
export function stillToTake(baths: readonly Bath[], done: readonly Bath[]): readonly Bath[] {
  const left = [...done];
  return baths.filter((bath) => {
    const at = left.findIndex((taken) => same(bath, taken));
    if (at >= 0) left.splice(at, 1);
    return at < 0;
  });
}

/** One bath under two numbers. */
const same = (a: Bath, b: Bath): boolean =>
  a.kind === b.kind && Math.abs(a.temperatureC - b.temperatureC) < 1e-6 && stated(a) === stated(b);

/** What a thermometer with a certificate is unsure of grows by the day; its certificate stays. */
const stated = ({ conditions: { thermometerUncertaintyC, ...conditions }, reference }: Bath): string =>
  JSON.stringify([conditions, reference ?? thermometerUncertaintyC]);

const named = ({ temperatureC, conditions, reference }: Bath): string => {
  const { stationPressureHpa, thermometerUncertaintyC, packed } = conditions;
  const how = [
    stationPressureHpa === undefined ? '' : `${stationPressureHpa.toFixed(1)} hPa`,
    thermometerUncertaintyC === undefined || reference ? '' : `thermometer to ${thermometerUncertaintyC} C`,
    reference ? `thermometer ${reference.certificate} of ${reference.calibratedOn}` : '',
    packed === 1 ? 'packed' : '',
  ].filter((words) => words !== '');
  return `${temperatureC.toFixed(2)} C${how.length ? ` (${how.join(', ')})` : ''}`;
};
