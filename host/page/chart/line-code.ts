import { type LineCode, lineCodeOf } from '../../drawing/line-code.js';
import { engineIndex } from '../link/engines.js';
import { nthAt } from '../link/place-of.js';

export { plain } from '../../drawing/line-code.js';

/** How the line of a probe is drawn on the page. */
export const lineCode = (probe: Parameters<typeof nthAt>[0]): LineCode =>
  lineCodeOf(engineIndex(probe.engine), probe.place, nthAt(probe));
