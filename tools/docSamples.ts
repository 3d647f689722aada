/**
 * The samples of docs/*.md. Commands (`sh`) and code (`ts`) of all pages run one after another in one folder that holds
 * data-sample; a command that several pages give runs once. What they print stands in the pages: after code as lines that
 * begin with `// → `, after commands as a `text` block under a comment that says which lines of the output it holds. Run
 * as a program it writes both anew; a test holds them to what is printed. A block that isn't run says why, in a comment.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readmeSamples, runSample, SAMPLE_FOLDER, withPrints } from './readmeSamples.js';

const root = fileURLToPath(new URL('..', import.meta.url));
const docs = join(root, 'docs');
const main = join(root, 'dist', 'show', 'cli', 'main.js');

const BLOCK = /(?:^<!-- ([^\n]*) -->\n\n?)?^```(sh|ts|text)\n(.*?)^```/gms;
const PRINTS = /^prints: from '(.+)' (to|before) '(.+)'$/;
const NOT_RUN = /^not run: .{10,}$/;

export interface DocBlock {
  readonly whole: string;
  readonly comment: string | undefined;
  readonly language: 'sh' | 'ts' | 'text';
  readonly body: string;
}

/** Pages whose samples run, in the order they run: by name. */
export const docPages = (): readonly string[] =>
  readdirSync(docs)
    .filter((name) => name.endsWith('.md'))
    .sort();

export const docText = (page: string): string => readFileSync(join(docs, page), 'utf8');

export function docBlocks(text: string): readonly DocBlock[] {
  return [...text.matchAll(BLOCK)].map(([whole, comment, language, body]) => ({
    whole,
    comment,
    language: language as DocBlock['language'],
    body: body!,
  }));
}

/** What a block should be, from running it. */
export interface RanBlock {
  readonly block: DocBlock;
  readonly now: string;
  /** Code samples: the file, for the type checker. */
  readonly path?: string;
}

/** A folder in which the samples run; call `end` when done. */
export function samplePlace(): { readonly run: (page: string) => readonly RanBlock[]; readonly end: () => void } {
  const place = mkdtempSync(join(tmpdir(), 'sightstage-docs-'));
  symlinkSync(join(root, 'data-sample'), join(place, 'data-sample'), 'dir');
  const printed = new Map<string, string>();
  let samples = 0;
  const command = (line: string): string => {
    const known = printed.get(line);
    if (known !== undefined) return known;
    const words = [...line.matchAll(/'([^']*)'|(\S+)/g)].map((match) => match[1] ?? match[2]!);
    if (words[0] !== 'npx' || words[1] !== 'sightstage')
      throw new Error(`docSamples: '${line}' is no call of sightstage; say in a comment why it is not run`);
    const ran = spawnSync(process.execPath, [main, ...words.slice(2)], { cwd: place, encoding: 'utf8' });
    // 3: the example visits of a new folder are too thin to plan with, which is the honest answer.
    if (ran.status !== 0 && ran.status !== 3) throw new Error(`docSamples: ${line}: ${ran.stderr}`);
    printed.set(line, ran.stdout);
    return ran.stdout;
  };
  const run = (page: string): readonly RanBlock[] => {
    let last = '';
    return docBlocks(docText(page)).map((block) => {
      const { comment, language, body, whole } = block;
      if (comment !== undefined && NOT_RUN.test(comment)) return { block, now: whole };
      if (language === 'text') return { block, now: withBody(block, excerpt(last, comment ?? '')) };
      if (language === 'sh') {
        const lines = body
          .trimEnd()
          .split('\n')
          .filter((line) => !line.startsWith('#'));
        last = lines.map(command).join('');
        return { block, now: whole };
      }
      const [sample] = readmeSamples(`\`\`\`ts\n${body}\`\`\``);
      const { path, prints } = runSample(sample!, { cwd: place, name: `doc-${samples++}` });
      return { block, now: withBody(block, inside(withPrints(sample!, prints))), path };
    });
  };
  const end = (): void => {
    for (const folder of [place, SAMPLE_FOLDER]) rmSync(folder, { recursive: true, force: true });
  };
  return { run, end };
}

/** A block with something else between its fences. */
function withBody({ whole, body }: DocBlock, now: string): string {
  const fence = '```';
  return `${whole.slice(0, whole.length - body.length - fence.length)}${now}${fence}`;
}

/** A sample's text without its fences. */
const inside = (sample: string): string => sample.replace(/^```ts\n/, '').replace(/```$/, '');

/** The lines of an output that a comment asks for, from the first that holds one text to the next that holds another, or up to it. */
function excerpt(output: string, comment: string): string {
  const [, from, end, to] = PRINTS.exec(comment) ?? [];
  if (from === undefined || to === undefined)
    throw new Error(`docSamples: a text block needs a comment: prints: from '…' to '…', found '${comment}'`);
  const lines = output.split('\n');
  const first = lines.findIndex((line) => line.includes(from));
  const last = lines.findIndex((line, i) => i >= first && line.includes(to));
  if (first < 0 || last < 0)
    throw new Error(`docSamples: the output has no lines from '${from}' to '${to}':\n${output}`);
  return `${lines
    .slice(first, end === 'to' ? last + 1 : last)
    .join('\n')
    .trimEnd()}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const place = samplePlace();
  try {
    for (const page of docPages()) {
      const text = place.run(page).reduce((all, { block, now }) => all.replace(block.whole, () => now), docText(page));
      if (text !== docText(page)) writeFileSync(join(docs, page), text);
    }
  } finally {
    place.end();
  }
}
