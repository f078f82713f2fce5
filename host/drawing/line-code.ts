/**
 * One code for every line over time, on the page and in the report: the engine by its dash (and its colour), the kind of
 * reading by the panel it is in. So engines can be distinguished without seeing colours.
 */
export type LineCode = {
  /** The name of a colour in `palette.css`; by day, which is how the report prints, it has the value in `dayColours`. */
  readonly token: keyof typeof dayColours;
  /** Lengths of dash and gap in px; none for a solid line. */
  readonly dash: readonly number[];
  /** In px. */
  readonly width: number;
};

export const dayColours = {
  '--line-0': '#7a2e6e',
  '--line-1': '#1c6b52',
  '--line-2': '#9a4a00',
  '--line-3': '#2c4f8f',
  '--water': '#0a6a8c',
  '--metal': '#7b838a',
} as const;

/** Limits across a chart: the alarm's solid, the warning's dashed. Colours by day, as in `palette.css`. */
export const limitCode = {
  alarm: { token: '--alarm-line', dayColour: '#ad000c', dash: [] as readonly number[], width: 2 },
  warning: { token: '--warning-line', dayColour: '#a35200', dash: [6, 4] as readonly number[], width: 1.5 },
} as const;

const tokens = ['--line-0', '--line-1', '--line-2', '--line-3'] as const;
/** By the engine's place in the kit. */
const dashes: readonly (readonly number[])[] = [[], [9, 4], [2, 3], [9, 3, 2, 3]];

export const plain: LineCode = { token: '--metal', dash: [], width: 1.5 };

/**
 * How the line of a probe is drawn: what engines share (`engineIndex` below 0) is thin and solid, and so thin is the second
 * probe (`nth` 1) at one place of an engine.
 */
export const lineCodeOf = (engineIndex: number, place: string, nth = 0): LineCode => {
  if (engineIndex < 0) return place === 'sea-water' ? { ...plain, token: '--water' } : plain;
  return {
    token: tokens[Math.min(engineIndex, tokens.length - 1)] ?? plain.token,
    dash: dashes[engineIndex] ?? [],
    // On one panel with the gas behind the turbocharger, and hotter.
    width: place === 'before-turbo' || nth > 0 ? 1.25 : 2.5,
  };
};
