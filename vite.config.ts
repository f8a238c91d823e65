import { defineConfig } from 'vite';

/** The browser client: src/web in, dist/web out, served by the service itself. */
export default defineConfig({
  root: 'src/web',
  base: '/',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    target: 'es2022',
    // Nothing inline: the page's policy allows no data: script and no style attribute.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
