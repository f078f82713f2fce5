import type { LaunchOptions } from 'playwright-core';

/** A Chromium that works as root, without a screen and without asking anybody on the network. */
export const chromiumOptions: LaunchOptions = {
  executablePath: '/usr/bin/chromium',
  args: [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
};
