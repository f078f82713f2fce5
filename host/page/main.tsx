import { render } from 'preact';
import { startKeys } from './alerts/keys.js';
import { startSound } from './alerts/sound.js';
import { Frame } from './frame/frame.js';
import { route, startRoute } from './frame/route.js';
import { fetchOthers } from './frame/screen-of.js';
import { askAhead } from './link/ask.js';
import { keepPage } from './link/keep-page.js';
import { askSession } from './link/session.js';
import { startStream } from './link/stream.js';
import { startPalette } from './look/palette.js';

startPalette();
startRoute();
const figures = startStream();
void askSession();
startSound();
startKeys();

/** Longer than this no one looks at a blank page: then it says that it waits. */
const blankMs = 150;
/** The other screens come when the figures are drawn, unless one of them is what was asked for. */
const othersAfterMs = 1_500;
const isFor = (ms: number) => new Promise<void>((over) => setTimeout(over, ms));

const place = document.getElementById('page');
const seen = () => place && render(<Frame />, place);
if (route.value.screen === 'now') {
  void Promise.race([figures, isFor(blankMs)]).then(seen, seen);
  void isFor(othersAfterMs).then(fetchOthers).then(keepPage);
} else {
  if (route.value.screen === 'history') askAhead('api/history/contents');
  const others = fetchOthers();
  void Promise.race([others, isFor(blankMs)]).then(seen);
  void others.then(keepPage);
}
