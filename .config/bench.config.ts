import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

/** The page of frame times, and the page whose first paint it takes, built for a machine that has a GPU but no packages. */
const root = fileURLToPath(new URL('..', import.meta.url));

export default defineConfig({
  root,
  base: './',
  plugins: [react()],
  publicDir: false,
  worker: { format: 'es' },
  build: {
    outDir: `${root}.config/cache/bench`,
    emptyOutDir: true,
    target: 'es2022',
    chunkSizeWarningLimit: 2000,
    rollupOptions: {
      input: [
        'tests/bench/page/index.html',
        'tests/bench/page/solver.html',
        'tests/bench/page/checks.html',
        'tests/bench/page/columns.html',
        'tests/bench/page/passes.html',
        'tests/bench/page/traced.html',
        'tests/bench/page/compile.html',
        'index.html',
      ].map((page) => root + page),
    },
  },
});
