import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';

const here = dirname(fileURLToPath(import.meta.url));
/** Files whose licence is not stated lie outside the project, where they lie at all. */
const beside = join(here, '../../../shared/real');

/** One file of this folder, or of the folder beside the project; undefined where neither has it. */
export function realFile(name: string): Buffer | undefined {
  if (existsSync(join(here, `${name}.gz`))) return gunzipSync(readFileSync(join(here, `${name}.gz`)));
  return existsSync(join(beside, name)) ? readFileSync(join(beside, name)) : undefined;
}

/** A set as a creek's folder of plain files, and what removes it. */
export function realFolder(set: string): { readonly folder: string; readonly remove: () => void } {
  const folder = mkdtempSync(join(tmpdir(), 'real-'));
  for (const name of readdirSync(join(here, set), { recursive: true, encoding: 'utf8' })) {
    if (!statSync(join(here, set, name)).isFile()) continue;
    const to = join(folder, name.slice(0, -'.gz'.length));
    mkdirSync(dirname(to), { recursive: true });
    writeFileSync(to, realFile(join(set, name.slice(0, -'.gz'.length)))!);
  }
  return { folder, remove: () => rmSync(folder, { recursive: true }) };
}
