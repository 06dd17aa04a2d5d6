// What `npm start` and `npm test` need before anything else, with Node's own modules alone.
import { spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));

/** Runs a command in the project's folder, output passed through; ends this process with its code when it fails. */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, { cwd: root, stdio: 'inherit', ...options });
  if (result.error) {
    console.error(`${command} could not be started: ${result.error.message}`);
    process.exit(1);
  }
  if (result.status !== 0) process.exit(result.status ?? 1);
}

export function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major > 20 || (major === 20 && minor >= 19)) return;
  console.error(
    `Forecloth needs Node 20.19 or later; this is ${process.versions.node}. Install a newer Node, then run again.`,
  );
  process.exit(1);
}

/** Installs the packages of the lock file unless they are there and newer than it. */
export function installPackages() {
  const marker = `${root}node_modules/.package-lock.json`;
  if (existsSync(marker) && statSync(marker).mtimeMs >= statSync(`${root}package-lock.json`).mtimeMs) return;
  console.log('Installing the packages of the lock file …');
  const npm = process.env.npm_execpath;
  if (npm) run(process.execPath, [npm, 'ci']);
  else run(process.platform === 'win32' ? 'npm.cmd' : 'npm', ['ci'], { shell: process.platform === 'win32' });
}

const places = [
  process.env.CHROMIUM_PATH,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** Path of a Chromium, installed from Debian's packages where that may be done; else one line says what to do. */
export function findChromium() {
  const found = () => places.find((place) => place && existsSync(place));
  if (!found() && process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    console.log('Installing Chromium from the system’s packages …');
    const quiet = {
      cwd: root,
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    };
    spawnSync('apt-get', ['update', '-qq'], quiet);
    spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium', 'fonts-dejavu-core'], quiet);
  }
  const chromium = found();
  if (chromium) return chromium;
  console.error(
    'No Chromium found: install it (Debian: apt-get install chromium) or set CHROMIUM_PATH to its program.',
  );
  process.exit(1);
}
