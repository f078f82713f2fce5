import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync } from 'node:zlib';
import { gzipAsync } from '@gfx/zopfli';
import { defineConfig, type Plugin } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const built = here('../../dist/page');

/** The page has one style sheet, so a screen fetched later waits for none, and the bundler's preload helper is left out. */
const plainImport: Plugin = {
  name: 'plain-import',
  enforce: 'post',
  transform: (code, id) => {
    if (!id.endsWith('vite/preload-helper.js')) return undefined;
    if (!code.includes('__vitePreload'))
      throw new Error('The bundler’s preload helper has changed: check plainImport.');
    return 'export const __vitePreload = (fetched) => fetched();';
  },
};

/** The fonts are requested together with the style sheet that names them, not after it; their licence goes with them. */
const ownFont: Plugin = {
  name: 'own-font',
  generateBundle() {
    const source = readFileSync(here('../../node_modules/@fontsource/arimo/LICENSE'), 'utf8');
    this.emitFile({ type: 'asset', fileName: 'assets/arimo-licence.txt', source });
  },
  transformIndexHtml: {
    order: 'post',
    handler: (_html, { bundle }) => {
      const fonts = Object.keys(bundle ?? {}).filter((name) => name.endsWith('.woff2'));
      if (fonts.length !== 2)
        throw new Error(`The page has ${fonts.length} font files, not 2: look at font.css.`);
      return fonts.map((name) => ({
        tag: 'link',
        attrs: { rel: 'preload', href: `./${name}`, as: 'font', type: 'font/woff2', crossorigin: true },
        injectTo: 'head' as const,
      }));
    },
  },
};

/** Packed copies beside each file, so that the host sends them without packing anything itself. */
const packed: Plugin = {
  name: 'packed',
  closeBundle: async () => {
    for (const folder of [built, join(built, 'assets')])
      for (const name of readdirSync(folder).filter((file) => /\.(html|js|css|svg)$/.test(file))) {
        const bytes = readFileSync(join(folder, name));
        writeFileSync(join(folder, `${name}.gz`), await gzipAsync(bytes, { numiterations: 15 }));
        writeFileSync(join(folder, `${name}.br`), brotliCompressSync(bytes));
      }
  },
};

/** The page is plain files beside the compiled program; every asset is a file, so that the policy can forbid inline code. */
export default defineConfig({
  root: here('.'),
  base: './',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [plainImport, ownFont, packed],
  build: {
    outDir: built,
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: 'es2022',
    reportCompressedSize: true,
  },
});
