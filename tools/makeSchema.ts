import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { creekJsonSchema } from '../src/read/creekJsonSchema.js';

/** Writes schema/creek.schema.json from the zod schema of creek.json. Run: npx tsx tools/makeSchema.ts */
const path = fileURLToPath(new URL('../schema/creek.schema.json', import.meta.url));
const text = creekJsonSchema();
const before = (() => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
})();
if (before === text) console.log(`${path} is up to date`);
else {
  writeFileSync(path, text);
  console.log(`${path} written`);
}
