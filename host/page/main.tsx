import { render } from 'preact';
import { startSound } from './alerts/sound.js';
import { Frame } from './frame/frame.js';
import { startRoute } from './frame/route.js';
import { askSession } from './link/session.js';
import { startStream } from './link/stream.js';
import { startPalette } from './look/palette.js';

startPalette();
startRoute();
startStream();
void askSession();
startSound();

const place = document.getElementById('page');
if (place) render(<Frame />, place);
