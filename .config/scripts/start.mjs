// `npm start`: install, build, serve, say where, and open it where there is a desktop.
import { spawn } from 'node:child_process';
import { installPackages, requireNode, root, run } from './prepare.mjs';

requireNode();
installPackages();
run(process.execPath, [
  `${root}node_modules/vite/bin/vite.js`,
  'build',
  '--config',
  '.config/vite.config.ts',
  '--logLevel',
  'warn',
]);

const { preview } = await import('vite');
const server = await preview({
  root,
  configFile: `${root}.config/vite.config.ts`,
  preview: { host: '127.0.0.1', port: Number(process.env.PORT ?? 4173), open: false },
  logLevel: 'warn',
});
const address = server.resolvedUrls.local[0];
console.log(`\nForecloth is at ${address}   (Ctrl+C ends it)\n`);

const desktop =
  process.env.CI === undefined &&
  (process.platform !== 'linux' || process.env.DISPLAY !== undefined || process.env.WAYLAND_DISPLAY !== undefined);
if (desktop) {
  const [command, ...args] =
    process.platform === 'darwin'
      ? ['open', address]
      : process.platform === 'win32'
        ? ['cmd', '/c', 'start', '', address]
        : ['xdg-open', address];
  spawn(command, args, { stdio: 'ignore', detached: true }).on('error', () => {});
}
