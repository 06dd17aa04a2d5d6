// `npm test`: install what the tests need, then run all of them.
import { findChromium, installPackages, requireNode, root, run } from './prepare.mjs';

requireNode();
installPackages();
const chromium = findChromium();
run(
  process.execPath,
  [`${root}node_modules/vitest/vitest.mjs`, 'run', '--config', '.config/vitest.config.ts', ...process.argv.slice(2)],
  {
    env: { ...process.env, CHROMIUM_PATH: chromium },
  },
);
