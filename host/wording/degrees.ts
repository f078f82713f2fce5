export const scales = ['celsius', 'fahrenheit'] as const;
export type Scale = (typeof scales)[number];

/** How one person reads temperatures. Everything inside is Celsius; this is where it is turned into words. */
export type Degrees = {
  readonly scale: Scale;
  /** For terminals and plain text: `84.2 C`. */
  readonly letter: 'C' | 'F';
  /** For the page and the report: `84.2 °C`. */
  readonly sign: '°C' | '°F';
  /** A point on the scale: 100 C is 212 F. */
  point(pointC: number): number;
  /** A distance between two points, an uncertainty, a rate: 10 C of room are 18 F. */
  span(spanC: number): number;
  /** Back from a point that a person typed. */
  pointC(point: number): number;
  /** Back from a distance that a person typed. */
  spanC(span: number): number;
};

const same = (value: number): number => value;

const celsius: Degrees = {
  scale: 'celsius',
  letter: 'C',
  sign: '°C',
  point: same,
  span: same,
  pointC: same,
  spanC: same,
};

const fahrenheit: Degrees = {
  scale: 'fahrenheit',
  letter: 'F',
  sign: '°F',
  point: (pointC) => pointC * 1.8 + 32,
  span: (spanC) => spanC * 1.8,
  pointC: (point) => (point - 32) / 1.8,
  spanC: (span) => span / 1.8,
};

/** Fahrenheit by its definition: 1.8 degrees to one of Celsius, 32 at the ice point. */
export const degreesIn = (scale: Scale): Degrees => (scale === 'celsius' ? celsius : fahrenheit);

/** Without a minus in front of a zero. */
const rounded = (value: number, digits: number): string => {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : text;
};

/** `84.2 C`: a point on the scale in plain text. */
export const pointText = (degrees: Degrees, pointC: number, digits = 1): string =>
  `${rounded(degrees.point(pointC), digits)} ${degrees.letter}`;

/** `1.80 F`: a distance, an uncertainty or a rate's degrees in plain text. */
export const spanText = (degrees: Degrees, spanC: number, digits = 1): string =>
  `${rounded(degrees.span(spanC), digits)} ${degrees.letter}`;

/** With its sign also where it is above zero: `+0.12 C`. */
export const signedSpanText = (degrees: Degrees, spanC: number, digits = 2): string =>
  `${spanC < 0 ? '' : '+'}${spanText(degrees, spanC, digits)}`;

/** Degrees as our sentences have them: `84.2 C` is a point on the scale, `20.1 K` a distance, `-60 to 200 C` a range. */
const degreesInText = /(?:(-?\d+(?:\.\d+)?)( to ))?(-?\d+(?:\.\d+)?) ?°?([CK])\b/g;

/** A sentence made in Celsius, with its degrees in the reader's own and `unit` behind them. */
export const readableIn = (degrees: Degrees, unit: string, sentence: string): string =>
  sentence.replace(degreesInText, (_, from = '', to = '', last: string, kind: string, at: number) => {
    const convert = kind === 'K' ? degrees.span : degrees.point;
    const said = (value: string) => rounded(convert(Number(value)), value.split('.')[1]?.length ?? 0);
    // `A0 to 20 C` and `10:30 to 20 C` only look like ranges. (Older browsers cannot look behind within a pattern.)
    const range = from !== '' && !/[\w.:]/.test(sentence.charAt(at - 1));
    return `${range ? said(from) : from}${to}${said(last)} ${unit}`;
  });

/** The same in plain text, with the reader's own letter. */
export const readable = (degrees: Degrees, sentence: string): string =>
  readableIn(degrees, degrees.letter, sentence);
