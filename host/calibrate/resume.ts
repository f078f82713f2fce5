import type { Bath, CalibratedInput, Session } from '../../calibration/index.js';

/** What the words of a command ask for, where they ask for anything. */
export type Asked = {
  /** Only baths that the options name; undefined when they name none. */
  readonly baths?: readonly Bath[] | undefined;
  /** Only when the options name probes or a wire. */
  readonly inputs?: Readonly<Record<string, CalibratedInput>> | undefined;
};

/**
 * Why not to go on with an unfinished session under these options, or undefined: what was asked now must be
 * what was taken then, or a mistyped pressure would be certified in silence.
 */
export function differenceFrom(left: Session, { baths, inputs }: Asked): string | undefined {
  if (inputs) {
    const then = Object.keys(left.probes).sort().join(', ');
    const now = Object.keys(inputs).sort().join(', ');
    if (then !== now) return `it is about ${then}, and these options are about ${now}`;
    const other = Object.keys(inputs).find(
      (id) => JSON.stringify(inputs[id]) !== JSON.stringify(left.probes[id]),
    );
    if (other !== undefined) return `${other} has another circuit, law or wire now than it had then`;
  }
  const strange = baths && left.done.find((taken) => !baths.some((bath) => same(bath, taken)));
  if (!strange) return undefined;
  const near = baths?.find((bath) => bath.kind === strange.kind);
  return near
    ? `it took a ${strange.kind} bath at ${named(strange)}, and these options make it ${named(near)}`
    : `it took a ${strange.kind} bath at ${named(strange)}, and these options have none`;
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
  a.kind === b.kind &&
  Math.abs(a.temperatureC - b.temperatureC) < 1e-6 &&
  JSON.stringify(a.conditions) === JSON.stringify(b.conditions);

const named = ({ temperatureC, conditions }: Bath): string =>
  `${temperatureC.toFixed(2)} C${conditions.stationPressureHpa === undefined ? '' : ` (${conditions.stationPressureHpa.toFixed(1)} hPa)`}`;
