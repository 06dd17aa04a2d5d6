import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { playwright } from '@vitest/browser-playwright';
import { defineConfig } from 'vitest/config';
import { chromiumFlags } from './scripts/chromiumFlags.mjs';

const chromiumPath = process.env.CHROMIUM_PATH ?? '/usr/bin/chromium';
const root = fileURLToPath(new URL('..', import.meta.url));

/**
 * What the page imports, bundled for the browser before the first test: found one by one, each would reload the page
 * half way through a test, with a second copy of React.
 */
const pageDependencies = [
  '@react-three/fiber',
  'axe-core',
  'culori/fn',
  'fast-check',
  'fast-png',
  'gl-matrix',
  'idb',
  'immer',
  'pngjs/browser',
  'react',
  'react-dom/client',
  'react/jsx-dev-runtime',
  'react/jsx-runtime',
  'react-error-boundary',
  'three',
  'tinykeys',
  'valibot',
  'zustand',
  'zustand/vanilla',
  ...['Button', 'ColorArea', 'ColorField', 'ColorPicker', 'ColorSlider', 'ColorThumb', 'GridList', 'Group'].map(inAria),
  ...['Input', 'Label', 'ListBox', 'Menu', 'NumberField', 'Popover', 'Tabs'].map(inAria),
];

function inAria(part: string): string {
  return `react-aria-components/${part}`;
}

export default defineConfig({
  root,
  test: {
    root,
    projects: [
      {
        root,
        test: {
          name: 'unit',
          benchmark: { include: ['tests/bench/**/*.bench.ts'] },
          root,
          environment: 'node',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/**/*.browser.test.{ts,tsx}', 'node_modules/**'],
          testTimeout: 60_000,
        },
      },
      {
        root,
        plugins: [react()],
        optimizeDeps: { include: pageDependencies },
        test: {
          name: 'browser',
          benchmark: { include: [] },
          root,
          include: ['tests/**/*.browser.test.{ts,tsx}'],
          testTimeout: 240_000,
          hookTimeout: 120_000,
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            fileParallelism: false,
            viewport: { width: 900, height: 700 },
            instances: [{ browser: 'chromium' }],
            provider: playwright({ launchOptions: { executablePath: chromiumPath, args: chromiumFlags } }),
          },
        },
      },
    ],
  },
});
