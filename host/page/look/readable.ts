import { readableIn } from '../../wording/degrees.js';
import { inReader, unitSign } from './degrees.js';

/** A sentence made in Celsius, with degrees in the reader's unit and with their sign. */
export const readable = (sentence: string): string => readableIn(inReader(), unitSign(), sentence);
