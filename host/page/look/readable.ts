import { degreesText, spanDegrees, unitSign } from './degrees.js';

/** Degrees as the node writes them in its sentences: `84.2 C` is a point on the scale, `20.1 K` a distance. */
const degreesInText = /(-?\d+(?:\.\d+)?) ?°?([CK])\b/g;

/** The node's sentence with degrees in the reader's unit and with their sign. */
export const readable = (sentence: string): string =>
  sentence.replace(degreesInText, (_, figure: string, kind: string) => {
    const digits = figure.includes('.') ? 1 : 0;
    return kind === 'K'
      ? `${spanDegrees(Number(figure), digits)} ${unitSign()}`
      : degreesText(Number(figure), digits);
  });
