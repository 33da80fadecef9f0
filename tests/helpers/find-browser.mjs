// Where this machine keeps a Chrome or Chromium, for the tests that drive the page.
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

export const HOW_TO_GET_A_BROWSER =
  'install Chrome or Chromium (Debian, Ubuntu: apt-get install chromium), or set CHROME to its path.';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];
const PLACES = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** @returns {string | null} the path of an executable browser, or null */
export function findBrowser() {
  const onPath = (process.env.PATH ?? '')
    .split(delimiter)
    .flatMap((folder) => NAMES.map((name) => join(folder, name)));
  const candidates = [process.env.CHROME, ...onPath, ...PLACES];
  return candidates.find((path) => path !== undefined && isExecutable(path)) ?? null;
}

function isExecutable(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
