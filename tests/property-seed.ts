import fc from 'fast-check';
import { seed } from './long-form.js';

/** Properties draw the same cases in every run; ELBOWROOM_SEED asks for others. A failure prints its seed all the same. */
fc.configureGlobal({ seed });
