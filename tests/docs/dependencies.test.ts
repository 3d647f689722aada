import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { dependencyGroups, lockedVersion, reasons } from '../../tools/dependencies.js';

const page = readFileSync(fileURLToPath(new URL('../../docs/dependencies.md', import.meta.url)), 'utf8');

describe('docs/dependencies.md', () => {
  // Not so? npm run dependencies, and a line in tools/dependencies/reasons.json.
  it.each(dependencyGroups())(
    '$title: lists what package.json asks for, in the versions that are pinned',
    ({ title, names }) => {
      const part = page.slice(page.indexOf(`## ${title}`)).split('\n## ')[0]!;
      const rows = [...part.matchAll(/^\| (\S+) +\| (\d\S*)/gm)].map(([, name, version]) => [name, version]);
      expect(rows).toEqual(names.map((name) => [name, lockedVersion(name)]));
    },
  );

  it('says of each what it is for, why it, how big and how old, in words that are used', () => {
    const words = reasons();
    expect(Object.keys(words).sort()).toEqual(
      dependencyGroups()
        .flatMap(({ names }) => names)
        .sort(),
    );
    for (const [name, { for: use, why }] of Object.entries(words)) {
      const row = page.split('\n').find((line) => line.startsWith(`| ${name} `));
      expect(row).toContain(`${use} | ${why} |`);
      expect(row).toMatch(/\| [\d ]+ \| \d{4}-\d\d-\d\d \| \d{4}-\d\d-\d\d \(\d+\.\d+\.\d+\) \|$/);
    }
  });
});
