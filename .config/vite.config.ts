import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));

export default defineConfig({
  root,
  base: './',
  plugins: [react()],
  publicDir: false,
  worker: { format: 'es' },
  build: { outDir: `${root}/dist`, emptyOutDir: true, target: 'es2022', chunkSizeWarningLimit: 1500 },
});
