/**
 * The code samples of README.md. Run as a program it runs each sample against the built package and writes what it printed
 * back into the README, as the lines that begin with `// → `; a test holds those lines to what the samples print.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const root = fileURLToPath(new URL('..', import.meta.url));
const readmePath = join(root, 'README.md');
const ARROW = '// → ';

/** Inside the package, so that `from 'sightstage'` is found; each process has its own, since whoever is done removes it. */
export const SAMPLE_FOLDER = join(root, 'out', `readme-samples-${process.pid}`);

export interface Sample {
  /** The whole block, code and arrows. */
  readonly text: string;
  /** What the arrows say that it prints. */
  readonly says: readonly string[];
}

export function readmeSamples(readme: string): readonly Sample[] {
  return [...readme.matchAll(/^```ts\n(.*?)^```/gms)].map(([, text]) => ({
    text: text!,
    says: text!
      .split('\n')
      .filter((line) => line.startsWith(ARROW))
      .map((line) => line.slice(ARROW.length)),
  }));
}

/** Runs a sample inside the package, so that `from 'sightstage'` means this one; its types are taken out first, Node 20 reads none. */
export function runSample(
  sample: Sample,
  { cwd = root, name = 'sample' }: { cwd?: string; name?: string } = {},
): { readonly path: string; readonly prints: readonly string[] } {
  mkdirSync(SAMPLE_FOLDER, { recursive: true });
  const path = join(SAMPLE_FOLDER, `${name}-${process.pid}.ts`);
  writeFileSync(path, sample.text);
  const plain = path.replace(/ts$/, 'mjs');
  const compilerOptions = { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022 };
  writeFileSync(plain, ts.transpileModule(sample.text, { compilerOptions }).outputText);
  const run = spawnSync(process.execPath, [plain], { cwd, encoding: 'utf8' });
  if (run.status !== 0 || run.stderr !== '') throw new Error(`a sample failed: ${run.stderr}\n${sample.text}`);
  return { path, prints: run.stdout.trimEnd().split('\n') };
}

/** The block with its arrows replaced: after each call of console.log what it printed. At most one call stands in a loop. */
export function withPrints(sample: Sample, prints: readonly string[]): string {
  const left = [...prints];
  const lines = sample.text.split('\n').filter((line) => !line.startsWith(ARROW));
  const calls = lines.filter((line) => /^\s*(for .*)?console\.log\(/.test(line)).length;
  let seen = 0;
  return lines
    .flatMap((line) => {
      if (!/^\s*(for .*)?console\.log\(/.test(line)) return [line];
      seen++;
      // A call in a loop gets all but what the calls after it print.
      const own = line.trimStart().startsWith('for ') ? left.length - (calls - seen) : 1;
      return [line, ...left.splice(0, own).map((print) => ARROW + print)];
    })
    .join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  let readme = readFileSync(readmePath, 'utf8');
  for (const sample of readmeSamples(readme))
    readme = readme.replace(sample.text, () => withPrints(sample, runSample(sample).prints));
  writeFileSync(readmePath, readme);
  rmSync(SAMPLE_FOLDER, { recursive: true, force: true });
}
