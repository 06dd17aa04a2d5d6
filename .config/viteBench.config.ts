import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));

/** The page that times pictures, as a folder to open on a machine with a GPU: dist/bench-page/tests/bench/page/. */
export default defineConfig({
  root,
  base: './',
  publicDir: false,
  build: {
    outDir: `${root}/dist/bench-page`,
    emptyOutDir: true,
    target: 'es2022',
    chunkSizeWarningLimit: 1500,
    rolldownOptions: { input: `${root}/tests/bench/page/index.html` },
  },
});
