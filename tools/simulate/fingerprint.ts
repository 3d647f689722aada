import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The rooms and tools whose code decides what a simulated creek comes out as. */
const SOURCES = ['src/series', 'src/align', 'src/kernel', 'src/fit', 'src/chart', 'tools/simulate'];

/** SHA-256 (first 12 digits) over the sources of the simulation, so that a run is never continued by other code. */
export function fingerprint(): string {
  const hash = createHash('sha256');
  for (const folder of SOURCES) {
    const root = fileURLToPath(new URL(`../../${folder}/`, import.meta.url));
    const names = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));
    for (const name of names.sort()) hash.update(`${folder}/${name}\n`).update(readFileSync(root + name));
  }
  return hash.digest('hex').slice(0, 12);
}
