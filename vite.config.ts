import fs from 'node:fs';
import path from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { defineConfig, type Plugin } from 'vite';

/** The browser client: src/web in, dist/web out, served by the service itself. */
export default defineConfig({
  root: 'src/web',
  base: '/',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [filesToWorker(), packed()],
  worker: { format: 'es' },
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

/** What is packed as it is, or too small to gain by it. */
const PACKABLE = /\.(js|css|html|svg|wasm)$/;
const LEAST_BYTES = 512;

/**
 * Lays a Brotli and a gzip copy beside each file, as well packed as it goes: that is done
 * once here, and not by the service for each phone that asks.
 */
function packed(): Plugin {
  return {
    name: 'castbook-packed',
    apply: 'build',
    writeBundle({ dir = '' }) {
      for (const name of fs.readdirSync(dir, { recursive: true, encoding: 'utf8' })) {
        const file = path.join(dir, name);
        if (!PACKABLE.test(name) || fs.statSync(file).size < LEAST_BYTES) continue;
        const bytes = fs.readFileSync(file);
        const size = { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length };
        fs.writeFileSync(`${file}.br`, brotliCompressSync(bytes, { params: size }));
        fs.writeFileSync(`${file}.gz`, gzipSync(bytes, { level: 9 }));
      }
    },
  };
}

/** Tells the service worker which files the build has: it keeps them all but the
 * reader of codes, which is large and kept once it was used. */
function filesToWorker(): Plugin {
  return {
    name: 'castbook-files-to-worker',
    generateBundle(_options, bundle) {
      const files = Object.keys(bundle).filter(
        (name) => name.startsWith('assets/') && !name.endsWith('.wasm'),
      );
      const worker = bundle['sw.js'];
      if (worker?.type !== 'chunk') throw new Error('the build has no sw.js');
      if (worker.imports.length > 0) throw new Error('the service worker stands alone');
      worker.code = worker.code.replaceAll(
        '__FILES__',
        JSON.stringify(files.map((name) => `/${name}`).sort()),
      );
    },
  };
}
