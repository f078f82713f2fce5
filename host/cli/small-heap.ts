import { setFlagsFromString } from 'node:v8';

/**
 * The guard runs for months on a small computer. Its short-lived objects get by with the megabyte they begin with;
 * left to itself V8 lets them spread over 48 as the program loads, and never gives it back. So this is loaded first.
 */
if (process.argv[2] === 'node') setFlagsFromString('--semi-space-growth-factor=1');
