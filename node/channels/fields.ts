import { z } from 'zod';
import { thermocoupleTypes } from '../../calibration/index.js';

/** The id of a probe, an engine or a node: a word that is safe in a file, a column heading and an address. */
export const slugShape = /^[a-z][a-z0-9-]{0,39}$/;
export const slug = z.string().regex(slugShape, 'small letters, digits and hyphens, letter first');

export const analoguePin = z.string().regex(/^A\d{1,2}$/, 'an analogue pin such as A0');

/** ADS1115 datasheet SBAS444D, 9.5.1.1: set by what the ADDR pin is tied to. */
export const ads1115Address = z.number().int().min(0x48).max(0x4b);
export const singleInput = z.enum(['AIN0', 'AIN1', 'AIN2', 'AIN3']);

export const letterType = z.enum(thermocoupleTypes).default('K');

export const hex = (address: number): string => `0x${address.toString(16)}`;
