import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Apart from other origins a page may share memory with its threads: large cloths are then laid out without copies. */
const headers = { 'Cross-Origin-Opener-Policy': 'same-origin', 'Cross-Origin-Embedder-Policy': 'require-corp' };

export default defineConfig({
  root,
  base: './',
  plugins: [react()],
  publicDir: false,
  server: { headers },
  preview: { headers },
  worker: { format: 'es' },
  build: { outDir: `${root}/dist`, emptyOutDir: true, target: 'es2022', chunkSizeWarningLimit: 1500 },
});
