/** Charts are drawn on a canvas, which inherits no style sheet: the font of the page, in words a canvas takes. */
export const chartFont = '13px Arimo, "Liberation Sans", Arial, sans-serif';
