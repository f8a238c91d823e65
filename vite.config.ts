import path from 'node:path';
import { defineConfig, type Plugin } from 'vite';

/** Tells the service worker which files the build has: it keeps them all. */
const filesToWorker: Plugin = {
  name: 'files-to-worker',
  generateBundle(_options, bundle) {
    const files = Object.keys(bundle).filter((name) => name.startsWith('assets/'));
    const worker = bundle['sw.js'];
    if (worker?.type !== 'chunk') throw new Error('the build has no sw.js');
    if (worker.imports.length > 0) throw new Error('the service worker stands alone');
    worker.code = worker.code.replaceAll(
      '__FILES__',
      JSON.stringify(files.map((name) => `/${name}`).sort()),
    );
  },
};

/** The browser client: src/web in, dist/web out, served by the service itself. */
export default defineConfig({
  root: 'src/web',
  base: '/',
  plugins: [filesToWorker],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    target: 'es2022',
    // Nothing inline: the page's policy allows no data: script and no style attribute.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: {
        index: path.resolve(import.meta.dirname, 'src/web/index.html'),
        sw: path.resolve(import.meta.dirname, 'src/web/worker/sw.ts'),
      },
      output: {
        entryFileNames: ({ name }) => (name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
});
