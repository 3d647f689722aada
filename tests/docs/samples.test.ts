import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { afterAll, describe, expect, it } from 'vitest';
import { docBlocks, docPages, docText, samplePlace } from '../../tools/docSamples.js';
import { readmeSamples, SAMPLE_FOLDER } from '../../tools/readmeSamples.js';

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

  // Those of the README too: its own test runs them, one compiler reads them all.
  it('are typed, with those of the README', () => {
    const readme = readmeSamples(readFileSync(join(root, 'README.md'), 'utf8')).map(({ text }, i) => {
      const path = join(SAMPLE_FOLDER, `readme-${i}.ts`);
      mkdirSync(SAMPLE_FOLDER, { recursive: true });
      writeFileSync(path, text);
      return path;
    });
    expect(readme.length).toBe(2);
    const { config } = ts.readConfigFile(join(root, 'tsconfig.json'), (file) => ts.sys.readFile(file)) as {
      config: { compilerOptions: object };
    };
    const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, root);
    expect(paths.length).toBeGreaterThan(1);
    const found = ts.getPreEmitDiagnostics(ts.createProgram([...paths, ...readme], options));
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
