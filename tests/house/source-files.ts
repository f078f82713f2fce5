import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

export const houseRoot = resolve(dirname(fileURLToPath(import.meta.url)), '../..');

export type SourceFile = {
  /** Path from the root, with forward slashes. */
  readonly path: string;
  readonly text: string;
  /** What it imports: a path from the root for our own files, the package name for others. */
  readonly imports: readonly { readonly target: string; readonly own: boolean; readonly typeOnly: boolean }[];
};

const importPattern =
  /(?:^|\n)\s*(?:import|export)(\s+type)?\s[^'"`;]*?from\s*['"]([^'"]+)['"]|(?:^|\n)\s*import\s*['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)/g;

const packageOf = (specifier: string): string => {
  const parts = specifier.split('/');
  return specifier.startsWith('@') ? parts.slice(0, 2).join('/') : (parts[0] ?? specifier);
};

/** What a file at `path` (from the root) imports, statically, for side effects, or lazily. */
export const importsOf = (path: string, text: string): SourceFile['imports'] =>
  [...text.matchAll(importPattern)].map((match) => {
    const specifier = match[2] ?? match[3] ?? match[4] ?? '';
    const own = specifier.startsWith('.');
    const target = own
      ? relative(houseRoot, resolve(houseRoot, dirname(path), specifier))
          .split(sep)
          .join('/')
      : specifier.startsWith('node:')
        ? specifier
        : packageOf(specifier);
    return { target, own, typeOnly: match[1] !== undefined };
  });

/** Every TypeScript file of a room, as text with its imports resolved. */
export const sourceFiles = (room: string): readonly SourceFile[] =>
  readdirSync(join(houseRoot, room), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => {
      const path = relative(houseRoot, join(entry.parentPath, entry.name)).split(sep).join('/');
      const text = readFileSync(join(houseRoot, path), 'utf8');
      return { path, text, imports: importsOf(path, text) };
    });
