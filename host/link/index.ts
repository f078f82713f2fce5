/** The listening side: every node's messages in order and without gaps, handed to the store and to the present. */

export { Live } from '../live/live.js';
export { startLink } from './link.js';
