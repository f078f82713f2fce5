import type { Page } from 'playwright-core';

export type Pixels = {
  readonly width: number;
  readonly height: number;
  /** How many pixels have a colour, by `red,green,blue`. */
  readonly colours: Readonly<Record<string, number>>;
};

/** A picture as the browser decodes it. */
export const pixelsOf = (page: Page, png: Buffer): Promise<Pixels> =>
  page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const picture = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const context = new OffscreenCanvas(picture.width, picture.height).getContext('2d');
    if (!context) throw new Error('No canvas to decode on.');
    context.drawImage(picture, 0, 0);
    const { data } = context.getImageData(0, 0, picture.width, picture.height);
    const colours: Record<string, number> = {};
    for (let i = 0; i < data.length; i += 4) {
      const colour = `${data[i]},${data[i + 1]},${data[i + 2]}`;
      colours[colour] = (colours[colour] ?? 0) + 1;
    }
    return { width: picture.width, height: picture.height, colours };
  }, png.toString('base64'));
