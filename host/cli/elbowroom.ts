#!/usr/bin/env node
import { existsSync } from 'node:fs';

/**
 * What the command `elbowroom` starts: reports that Node is too old, before anything is loaded that an old one cannot
 * even read.
 */
const oldestNode = [20, 19] as const;

export const isOldNode = (version: string): boolean => {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  return major < oldestNode[0] || (major === oldestNode[0] && minor < oldestNode[1]);
};

if (isOldNode(process.versions.node)) {
  console.error(
    `Node ${process.versions.node} is too old for Elbowroom: it needs ${oldestNode.join('.')} or newer, best is the newest even version.\nSee hardware-notes/computer.md for how to get it, then start again.`,
  );
  process.exit(3);
}
// The bundled program starts in half the time of the single files, which a build without bundling still runs.
const bundled = new URL('../../program/main.js', import.meta.url);
await import(existsSync(bundled) ? bundled.href : './main.js');
