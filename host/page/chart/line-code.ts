import { type LineCode, lineCodeOf } from '../../drawing/line-code.js';
import { engineIndex } from '../link/engines.js';

export { plain } from '../../drawing/line-code.js';

/** How the line of a probe is drawn on the page. */
export const lineCode = (engine: string, place: string): LineCode => lineCodeOf(engineIndex(engine), place);
