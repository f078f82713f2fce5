import { degreesText, spanDegrees, unitSign } from './degrees.js';

/** Degrees as the node writes them in its sentences: `84.2 C`; a distance says over, under, warmer or per what. */
const degreesInText =
  /(-?\d+(?:\.\d+)?) ?°?C\b( (?:over|above|below|under|warmer|colder|hotter|a second|a minute|of room|more)\b)?/g;

/** The node's sentence with degrees in the reader's unit and with their sign. */
export const readable = (sentence: string): string =>
  sentence.replace(degreesInText, (_, figure: string, apart: string | undefined) => {
    const digits = figure.includes('.') ? 1 : 0;
    return apart
      ? `${spanDegrees(Number(figure), digits)} ${unitSign()}${apart}`
      : degreesText(Number(figure), digits);
  });
