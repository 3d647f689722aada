/**
 * Writes docs/api/: every export of the package's three entries with its signature and its doc block, from the sources.
 * A test holds the pages to what this makes: npm run api.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const root = fileURLToPath(new URL('..', import.meta.url));

export const ENTRIES = [
  { page: 'sightstage.md', name: 'sightstage', file: 'src/index.ts' },
  { page: 'frames.md', name: 'sightstage/frames', file: 'src/show/frames/index.ts' },
  { page: 'notebook.md', name: 'sightstage/notebook', file: 'src/show/notebook/index.ts' },
] as const;

/** Rooms in the order that a line of a log walks through them. */
const ROOMS = ['series', 'read', 'align', 'kernel', 'fit', 'judge', 'chart', 'show'];

interface Export {
  readonly name: string;
  readonly room: string;
  readonly source: string;
  readonly signatures: readonly string[];
  readonly doc: string;
}

/** The pages by name, ready to be written. */
export function apiPages(): ReadonlyMap<string, string> {
  const files = ENTRIES.map(({ file }) => join(root, file));
  const program = ts.createProgram(files, {
    target: ts.ScriptTarget.ES2022,
    module: ts.ModuleKind.NodeNext,
    moduleResolution: ts.ModuleResolutionKind.NodeNext,
    // Names are followed, types are not checked: the type checker has its own command.
    noLib: true,
    types: [],
    skipLibCheck: true,
  });
  const checker = program.getTypeChecker();
  return new Map(
    ENTRIES.map(({ page, name, file }) => {
      const source = program.getSourceFile(join(root, file))!;
      const found = checker.getExportsOfModule(checker.getSymbolAtLocation(source)!);
      return [page, pageOf(name, found.map((symbol) => exportOf(symbol, checker)).sort(byRoom))];
    }),
  );
}

function byRoom(a: Export, b: Export): number {
  const place = ({ room }: Export) => ROOMS.indexOf(room);
  const word = ({ name }: Export) => `${name.toLowerCase()} ${name}`;
  return place(a) - place(b) || (word(a) < word(b) ? -1 : 1);
}

function exportOf(symbol: ts.Symbol, checker: ts.TypeChecker): Export {
  const target = symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
  const declarations = target.declarations ?? [];
  const first = declarations[0];
  if (first === undefined) throw new Error(`apiReference: ${symbol.name} has no declaration`);
  const source = relative(root, first.getSourceFile().fileName).replaceAll('\\', '/');
  return {
    name: symbol.name,
    room: source.split('/')[1]!,
    source,
    signatures: declarations.map(signatureOf),
    doc: docOf(first),
  };
}

/** The declaration as the source has it, without what it does. */
function signatureOf(node: ts.Declaration): string {
  const text = node.getSourceFile().text;
  if (ts.isFunctionDeclaration(node)) return text.slice(node.getStart(), node.body?.getStart() ?? node.end).trim();
  if (ts.isVariableDeclaration(node)) {
    const value = node.initializer;
    const end =
      value === undefined
        ? node.end
        : ts.isArrowFunction(value)
          ? value.equalsGreaterThanToken.getStart()
          : node.type === undefined
            ? node.end
            : node.type.end;
    return `export const ${text.slice(node.getStart(), end).trim()}`;
  }
  return text.slice(node.getStart(), node.end);
}

function docOf(node: ts.Declaration): string {
  const holder = ts.isVariableDeclaration(node) ? node.parent.parent : node;
  const blocks = ts.getJSDocCommentsAndTags(holder).filter(ts.isJSDoc);
  const block = blocks.at(-1);
  if (block === undefined) return '';
  const words = (comment: ts.JSDoc['comment']) => ts.getTextOfJSDocComment(comment)?.trim() ?? '';
  const tags = (block.tags ?? []).map((tag) => {
    const named = ts.isJSDocParameterTag(tag) ? ` \`${tag.name.getText()}\`` : '';
    const text = words(tag.comment);
    if (tag.tagName.text === 'example') return `Example:\n\n\`\`\`js\n${text}\n\`\`\``;
    return `- **${tag.tagName.text}**${named} ${text.replace(/^[-–]\s*/, '').replaceAll('\n', '\n  ')}`;
  });
  const lists = tags.filter((tag) => tag.startsWith('-')).join('\n');
  const examples = tags.filter((tag) => !tag.startsWith('-'));
  return [prose(words(block.comment)), prose(lists), ...examples].filter((part) => part !== '').join('\n\n');
}

/** Doc blocks are plain text: what looks like markup outside of code marks is meant as it stands. */
function prose(text: string): string {
  return text
    .split(/(`[^`]*`)/)
    .map((part, i) => (i % 2 === 1 ? part : part.replace(/([<|])/g, '\\$1').replace(/(?<!\*)\*(?!\*)/g, '\\*')))
    .join('');
}

function pageOf(name: string, exports: readonly Export[]): string {
  // Headings that differ by capitals only get the same anchor, the later ones with a number.
  const anchors = exports.map((one, i) => {
    const anchor = one.name.toLowerCase();
    const before = exports.slice(0, i).filter((other) => other.name.toLowerCase() === anchor).length;
    return before === 0 ? anchor : `${anchor}-${before}`;
  });
  const rooms = ROOMS.filter((room) => exports.some((one) => one.room === room));
  return [
    `# \`${name}\``,
    `Made from the sources by \`npm run api\`; do not edit. ${exports.length} exports, in the order of the rooms.`,
    ...rooms.flatMap((room) => {
      const mine = exports.filter((one) => one.room === room);
      return [
        `## ${room}`,
        mine.map((one) => `[${one.name}](#${anchors[exports.indexOf(one)]!})`).join(', '),
        ...mine.flatMap((one) => [
          `### ${one.name}`,
          ...(one.doc === '' ? [] : [one.doc]),
          `\`\`\`typescript\n${one.signatures.join('\n')}\n\`\`\``,
          `<sub>${one.source}</sub>`,
        ]),
      ];
    }),
  ]
    .join('\n\n')
    .concat('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const [page, text] of apiPages()) {
    const path = join(root, 'docs', 'api', page);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, text);
  }
}
