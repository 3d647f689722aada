import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import ts from 'typescript';

/*
 * How big the project is, against the sizes it means to keep: `npx tsx tools/size.ts`. Ends with 1 where a limit is passed.
 * Counts tracked files, so what is not committed yet counts only once it is added.
 */
const lines = (folder: string, kinds = /\.(ts|mjs)$/): number =>
  tracked(folder)
    .filter((file) => kinds.test(file))
    .reduce((sum, file) => sum + readFileSync(file, 'utf8').split('\n').length - 1, 0);

function tracked(folder: string): readonly string[] {
  return execFileSync('git', ['ls-files', folder], { encoding: 'utf8' })
    .split('\n')
    .filter((file) => file !== '' && existsSync(file));
}

/** Lines of every function, method and arrow with a body, from its first line to its last. */
function functionLengths(file: string): number[] {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
  const lengths: number[] = [];
  const line = (at: number) => source.getLineAndCharacterOfPosition(at).line;
  const visit = (node: ts.Node): void => {
    if (ts.isFunctionLike(node) && 'body' in node && node.body !== undefined)
      lengths.push(line(node.getEnd()) - line(node.getStart()) + 1);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return lengths;
}

/** Named functions only: a one-line arrow in a `map` would flatter the median. */
function namedLengths(file: string): number[] {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
  const lengths: number[] = [];
  const line = (at: number) => source.getLineAndCharacterOfPosition(at).line;
  const visit = (node: ts.Node): void => {
    if (ts.isFunctionDeclaration(node) && node.body !== undefined)
      lengths.push(line(node.getEnd()) - line(node.getStart()) + 1);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return lengths;
}

function median(values: number[]): number {
  values.sort((a, b) => a - b);
  return values[values.length >> 1] ?? 0;
}

const src = tracked('src').filter((file) => file.endsWith('.ts'));
const long = src.flatMap((file) =>
  readFileSync(file, 'utf8')
    .split('\n')
    .flatMap((text, i) => (text.length > 140 ? [`${file}:${i + 1}`] : [])),
);
const entry = existsSync('dist/index.js')
  ? Object.keys((await import(pathToFileURL('dist/index.js').href)) as object).length
  : NaN;
const rows: readonly (readonly [string, number, number])[] = [
  ['src, lines', lines('src', /./), 36_000],
  ['src/show and src/tell, lines', lines('src/show') + lines('src/tell'), 8_500],
  ['tests, lines of ts and mjs', lines('tests'), 29_000],
  ['tools, lines of ts and mjs', lines('tools'), 5_500],
  ['median function, lines', median(src.flatMap(functionLengths)), 8],
  ['lines over 140 columns in src', long.length, 0],
  ['runtime exports of the main entry (built)', entry, 40],
];
for (const [what, found, limit] of rows)
  console.log(`${found > limit ? 'OVER' : 'ok  '} ${what}: ${found} (at most ${limit})`);
console.log(`     median of named functions: ${median(src.flatMap(namedLengths))}`);
for (const room of [...new Set(src.map((file) => file.split('/')[1]!))])
  console.log(`     src/${room}: ${lines(`src/${room}`)}`);
if (long.length > 0) console.log(long.slice(0, 5).join('\n'));
process.exitCode = rows.some(([, found, limit]) => found > limit) ? 1 : 0;
