import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { afterAll, describe, expect, it } from 'vitest';
import { docBlocks, docPages, docText, samplePlace } from '../../tools/docSamples.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const place = samplePlace();
afterAll(place.end);

describe('samples of the documentation', () => {
  it('stand on the pages of the three people and of the model', () => {
    const withSamples = docPages().filter((page) => docBlocks(docText(page)).length > 0);
    expect(withSamples).toEqual(expect.arrayContaining(['for-the-club-analyst.md', 'for-the-local-expert.md']));
    expect(withSamples).toEqual(expect.arrayContaining(['for-the-paddler.md', 'model.md']));
  });

  const paths: string[] = [];
  it.each(docPages().filter((page) => docBlocks(docText(page)).length > 0))(
    '%s: run, and print what stands there (else: npm run readme)',
    (page) => {
      for (const { block, now, path } of place.run(page)) {
        expect(now).toBe(block.whole);
        if (path !== undefined) paths.push(path);
      }
    },
  );

  it('are typed', () => {
    const { config } = ts.readConfigFile(join(root, 'tsconfig.json'), (file) => ts.sys.readFile(file)) as {
      config: { compilerOptions: object };
    };
    const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, root);
    expect(paths.length).toBeGreaterThan(1);
    const found = ts.getPreEmitDiagnostics(ts.createProgram(paths, options));
    expect(found.map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, '\n'))).toEqual([]);
  });
});

describe('links of the documentation', () => {
  it.each(docPages())('%s links only to what is there', (page) => {
    const targets = [...readFileSync(join(root, 'docs', page), 'utf8').matchAll(/\]\(([^)#]+)[^)]*\)/g)];
    const local = targets.map((match) => match[1]!).filter((target) => !/^https?:/.test(target));
    for (const target of local) expect(existsSync(join(root, 'docs', target)), target).toBe(true);
  });
});
