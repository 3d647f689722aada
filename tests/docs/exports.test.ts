import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const json = (path: string) => JSON.parse(readFileSync(join(root, path), 'utf8')) as Record<string, unknown>;
const manifest = json('package.json') as {
  exports: Record<string, string | { types: string; default: string }>;
  typesVersions: Record<'*', Record<string, readonly string[]>>;
};
/** Entries by name, with the source that the built file comes from. */
const entries = Object.entries(manifest.exports).flatMap(([name, target]) =>
  typeof target === 'string'
    ? []
    : [{ name, file: target.default.replace('./dist/', 'src/').replace(/\.js$/, '.ts'), types: target.types }],
);
const program = ts.createProgram(
  entries.map(({ file }) => join(root, file)),
  // Names are followed, types are not checked: the type checker has its own command.
  { module: ts.ModuleKind.NodeNext, target: ts.ScriptTarget.ES2022, noLib: true, types: [], skipLibCheck: true },
);
const checker = program.getTypeChecker();
const exportsOf = (file: string) =>
  checker.getExportsOfModule(checker.getSymbolAtLocation(program.getSourceFile(join(root, file))!)!).map((symbol) => {
    const target = symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
    return {
      name: symbol.name,
      runtime: (target.flags & ts.SymbolFlags.Value) !== 0,
      // A type may leave the word to its members.
      doc: [target, ...(target.members?.values() ?? [])]
        .map((one) => ts.displayPartsToString(one.getDocumentationComment(checker)))
        .join(''),
      examples: target
        .getJsDocTags()
        .flatMap(({ name, text }) => (name === 'example' ? [ts.displayPartsToString(text)] : [])),
    };
  });

describe.each(entries)('the entry $name', ({ name, file, types }) => {
  const found = exportsOf(file);

  it('has a word about each of its exports', () => {
    expect(found.length).toBeGreaterThan(8);
    // Row types of the frames follow from their tables, which say each column once.
    const asked = found.filter(({ runtime }) => runtime || !/frames|notebook/.test(name));
    expect(asked.filter(({ doc }) => doc.trim() === '').map((one) => one.name)).toEqual([]);
  });

  it('has examples that are code', () => {
    // A line of a doc block stands in a context that its reader knows; that it is code is what can be checked.
    for (const example of found.flatMap(({ examples }) => examples)) {
      const { diagnostics } = ts.transpileModule(example.replaceAll('…', ''), { reportDiagnostics: true });
      expect(
        diagnostics?.map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, ' ')),
        example,
      ).toEqual([]);
    }
  });

  it('is in the API reference, and typed for older resolution', () => {
    expect(json('typedoc.json')['entryPoints']).toContain(file);
    if (name !== '.') expect(manifest.typesVersions['*'][name.slice(2)]).toEqual([types]);
  });
});

it('the main entry has at most 40 things to call', () => {
  const runtime = exportsOf('src/index.ts').filter((one) => one.runtime);
  expect(runtime.length).toBeGreaterThan(20);
  expect(runtime.length).toBeLessThanOrEqual(40);
});
