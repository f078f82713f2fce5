import { usualBoatData } from '../settings/data-folders.js';

/** Options that several commands take, in the same words. */
export const kitOption = { kit: { type: 'string', default: 'kit.yaml', describe: 'The kit file' } } as const;

export const nodeOption = {
  node: { type: 'string', requiresArg: true, describe: 'Address of the node; from the kit when absent' },
} as const;

export const jsonOption = {
  json: { type: 'boolean', default: false, describe: 'Print one JSON document' },
} as const;

export const boatDataOption = {
  'data-dir': {
    type: 'string',
    requiresArg: true,
    default: usualBoatData,
    describe: "The boat's data folder",
  },
} as const;

export const spanOptions = {
  from: {
    type: 'string',
    requiresArg: true,
    describe: 'First moment, such as 2026-05-01 or 2026-05-01T08:00:00Z; the beginning unless given',
  },
  to: { type: 'string', requiresArg: true, describe: 'End of the span, not included; the end unless given' },
} as const;

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
