/**
 * Flags under which Chromium draws WebGL2 in software without a desktop, shares memory with threads as the served page does, and
 * calls nobody. One cache of pipelines for all contexts: else each compiles every program anew.
 */
export const chromiumFlags = [
  '--no-sandbox',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--enable-angle-features=preferGlobalPipelineCache',
  '--enable-features=SharedArrayBuffer',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
