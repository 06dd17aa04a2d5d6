/** Where the system's Chromium is, and the flags under which it draws WebGL2 in software without a desktop. */
export const chromiumPath = process.env.CHROMIUM_PATH ?? '/usr/bin/chromium';

export const chromiumFlags = [
  '--no-sandbox',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
