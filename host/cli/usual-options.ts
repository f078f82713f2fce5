import { usualBoatData } from '../settings/data-folders.js';

/** An option that takes a text, and is refused without one. */
export const textOption = (describe: string) => ({ type: 'string', requiresArg: true, describe }) as const;

/** An option that is off unless it is given. */
export const flagOption = (describe: string) => ({ type: 'boolean', default: false, describe }) as const;

/** Options that several commands take, in the same words. */
export const kitOption = { kit: { type: 'string', default: 'kit.yaml', describe: 'The kit file' } } as const;

export const nodeOption = { node: textOption('Address of the node; from the kit when absent') };

export const jsonOption = { json: flagOption('Print one JSON document') };

export const boatDataOption = {
  'data-dir': { ...textOption("The boat's data folder"), default: usualBoatData },
};

export const spanOptions = {
  from: textOption('First moment, such as 2026-05-01 or 2026-05-01T08:00:00Z; the beginning unless given'),
  to: textOption('End of the span, not included; the end unless given'),
};

export const rateOption = {
  rate: {
    choices: ['second', 'episode'] as const,
    default: 'second' as const,
    describe: 'episode: the full rate kept around alerts',
  },
};

export const pageOptions = {
  'page-port': { type: 'number', default: 8470, describe: 'Port of the page' },
  'page-listen': {
    type: 'string',
    describe: 'Address of the page; wider than loopback needs a pass-phrase (elbowroom access)',
  },
  'tls-cert': {
    type: 'string',
    implies: 'tls-key',
    describe: 'Certificate in a PEM file: the page speaks https',
  },
  'tls-key': { type: 'string', implies: 'tls-cert', describe: 'Its key in a PEM file' },
} as const;
