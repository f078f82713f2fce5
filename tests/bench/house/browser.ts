import type { LaunchOptions } from 'playwright-core';
import { chromiumFlags } from '../../../host/report/pdf.js';

/** A Chromium that works as root, without a screen and without requests to the network. */
export const chromiumOptions: LaunchOptions = {
  executablePath: '/usr/bin/chromium',
  args: chromiumFlags,
};
