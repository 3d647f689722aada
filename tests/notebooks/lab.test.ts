import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { NOTEBOOKS, ROOT } from '../../tools/notebooks/jupyterHome.js';
import { labCommand } from '../../tools/notebooks/labCommand.js';

/** A stand-in for `jupyter` that has the named parts, and notes how it was called and where. */
function fakeJupyter(folder: string, parts: readonly string[], exitCode = 0): string {
  const log = join(folder, 'called');
  const has = parts.map((part) => `"${part} --version") exit 0;;`).join(' ');
  const path = join(folder, 'jupyter');
  writeFileSync(
    path,
    `#!/bin/sh\ncase "$1 $2" in ${has} *" --version") exit 1;; esac\n` +
      `echo "$@" > '${log}'\npwd >> '${log}'\necho "$JUPYTER_PATH" >> '${log}'\nexit ${exitCode}\n`,
  );
  chmodSync(path, 0o755);
  return log;
}

describe('npm run lab', () => {
  let folder = '';
  const said: string[] = [];
  const say = (text: string) => void said.push(text);
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'sightstage-lab-'));
    said.length = 0;
    vi.stubEnv('PATH', `${folder}${delimiter}${process.env.PATH}`);
    vi.stubEnv('SIGHTSTAGE_JUPYTER', undefined);
    vi.stubEnv('JUPYTER_PATH', '/elsewhere');
  });
  afterEach(() => {
    vi.unstubAllEnvs();
    rmSync(folder, { recursive: true, force: true });
  });

  it.each([
    ['JupyterLab where both are there', ['lab', 'notebook'], 'lab'],
    ['Notebook where it is the only one', ['notebook'], 'notebook'],
  ] as const)(
    'opens %s, in the folder of the notebooks, with the kernel of this repository',
    async (_, parts, opened) => {
      const log = fakeJupyter(folder, parts);
      expect(await labCommand(['--no-browser'], { say })).toBe(0);
      const kernels = join(ROOT, '.kernel', 'share', 'jupyter');
      expect(readFileSync(log, 'utf8').split('\n')).toEqual([
        `${opened} --no-browser`,
        NOTEBOOKS,
        `${kernels}:/elsewhere`,
        '',
      ]);
      const kernel = JSON.parse(readFileSync(join(kernels, 'kernels', 'tslab', 'kernel.json'), 'utf8')) as {
        argv: readonly string[];
        language: string;
      };
      expect(kernel.language).toBe('typescript');
      expect(kernel.argv.at(-1)).toBe('{connection_file}');
      expect(kernel.argv.slice(0, 2).filter((path) => !existsSync(path))).toEqual([]);
      expect(existsSync(join(NOTEBOOKS, 'node_modules', 'sightstage', 'package.json'))).toBe(true);
      expect(said).toEqual([]);
    },
  );

  it('ends as what it opened ended', async () => {
    fakeJupyter(folder, ['lab'], 3);
    expect(await labCommand([], { say })).toBe(3);
  });

  it('says how to get one where none is there', async () => {
    const log = fakeJupyter(folder, ['nbconvert']);
    expect(await labCommand([], { say })).toBe(1);
    expect(existsSync(log)).toBe(false);
    const [text] = said;
    for (const line of [
      'lab: neither JupyterLab nor Notebook is here. One of these brings one:',
      '  pipx install jupyterlab',
      '  python3 -m pip install --user jupyterlab',
      '  apt install jupyter-notebook',
    ])
      expect(text!.split('\n')).toContain(line);
    expect(text).toContain('npm run lab again');
    expect(text).toContain('npm run notebooks writes pages to out/notebooks/');
  });
});
