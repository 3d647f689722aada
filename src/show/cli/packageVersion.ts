import { readFileSync } from 'node:fs';

/** The version in package.json, which stands three folders up from here in src/ as in dist/. */
export function packageVersion(): string {
  const text = readFileSync(new URL('../../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
