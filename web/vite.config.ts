import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = fileURLToPath(new URL('.', import.meta.url));
const api = `http://127.0.0.1:${process.env.COUNTERLEAN_PORT ?? '4748'}`;

// In development this server gives the sources and hands everything that is not a page to the API
// process; `/` goes there too, because on loopback it joins the demo review.
export default defineConfig({
  root: here,
  base: '/',
  build: {
    outDir: '../dist/web',
    emptyOutDir: true,
    target: 'es2022',
    // The page's policy lets nothing come from data: but pictures.
    assetsInlineLimit: 0,
    // three.js is one chunk of its own, loaded with the bench; it is larger than the default warning.
    chunkSizeWarningLimit: 900,
  },
  server: {
    proxy: {
      '/api': api,
      '/join': api,
      '^/$': api,
      '/sync': { target: api, ws: true },
    },
  },
});
