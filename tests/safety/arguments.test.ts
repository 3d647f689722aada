import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it, vi } from 'vitest';
import { showProgress } from '../../src/show/cli/showProgress.js';
import { runCaught } from '../show/cli/fakeIo.js';
import { expectHarmlessJson, expectHarmlessTerminal } from './harmless.js';
import { FORMULAS, MARKDOWN, MARKUP, TERMINAL } from './payloads.js';
import { smallCreek, writeFolder } from './smallCreek.js';

const place = mkdtempSync(join(tmpdir(), 'sightstage-arguments-'));
const folder = join(place, 'creek');
writeFolder(folder, smallCreek());
afterAll(() => rmSync(place, { recursive: true, force: true }));

const PAYLOADS = [...MARKUP, ...FORMULAS, ...MARKDOWN, ...TERMINAL];

/** Every place of the command line that takes a word, with the word in it. */
const PLACES: readonly (readonly [name: string, args: (word: string) => readonly string[]])[] = [
  ['a command', (word) => [`x${word}`]],
  ['an option', (word) => ['chart', folder, `--x${word}`]],
  ['a folder to check', (word) => ['check', `${folder}/x${word}`]],
  ['a folder to chart', (word) => ['chart', `${folder}/x${word}`]],
  ['a folder for cards', (word) => ['card', `${folder}/x${word}`]],
  ['a stray argument', (word) => ['check', folder, word]],
  ['--lag', (word) => ['chart', folder, '--lag', word]],
  ['--storage', (word) => ['chart', folder, '--storage', word]],
  ['--lead', (word) => ['chart', folder, '--lead', word]],
  ['--seed', (word) => ['chart', folder, '--seed', word]],
  ['--units', (word) => ['chart', folder, '--units', word]],
  ['--link', (word) => ['chart', folder, '--link', word]],
  ['--run', (word) => ['chart', folder, '--run', `x${word}`]],
  ['--gauge', (word) => ['chart', folder, '--gauge', `x${word}`]],
  ['--zone', (word) => ['new', join(place, 'new'), '--zone', `x${word}`]],
  ['--decimal', (word) => ['card', folder, '--decimal', word]],
  ['--out', (word) => ['chart', folder, '--out', join(folder, 'creek.json', `x${word}`)]],
];

describe('what stands on the command line', () => {
  it.each(PLACES)('%s: no payload reaches the terminal, as text or as JSON', async (name, args) => {
    // These are looked at only after the folder was read, which takes its time.
    const late = ['--run', '--gauge', '--out'].includes(name);
    for (const [i, word] of (late ? TERMINAL : PAYLOADS).entries()) {
      const where = `${name} ${JSON.stringify(word)}`;
      // Two escape codes stand beside each other in the list, so each kind meets each way of saying it.
      for (const more of [[[], ['--debug'], ['--json']][i % 3]!]) {
        const run = await runCaught([...args(word), ...more], { terminal: true, env: { TERM: 'xterm' } });
        expect(run.exitCode, where).toBeGreaterThan(0);
        expectHarmlessTerminal(run.err, where);
        if (run.out !== '' && more[0] === '--json') expectHarmlessJson(run.out, where);
        else expectHarmlessTerminal(run.out, where, { coloured: true });
      }
    }
  });

  it('a name for a new creek goes into creek.json whole and onto the terminal harmless', async () => {
    for (const [i, word] of PAYLOADS.entries()) {
      const made = join(place, `new ${i}`);
      const run = await runCaught(['new', made, '--name', `Larch ${word}`]);
      expect(run.exitCode).toBe(0);
      expectHarmlessTerminal(run.out, word);
      expect((JSON.parse(readFileSync(join(made, 'creek.json'), 'utf8')) as { name: string }).name).toBe(
        `Larch ${word}`,
      );
      expect(readdirSync(made).sort()).toEqual(['README.txt', 'creek.json', 'gauges', 'visits.csv']);
    }
  });
});

describe('the progress', () => {
  it.each([false, true])('shows a label without its escape codes, terminal %s', (terminal) => {
    const written: string[] = [];
    const spy = vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
      written.push(String(text));
      return true;
    });
    const tty = Object.getOwnPropertyDescriptor(process.stderr, 'isTTY');
    Object.defineProperty(process.stderr, 'isTTY', { value: terminal, configurable: true });
    const io = { out: () => undefined, outIsTerminal: false, errIsTerminal: terminal, columns: 400, env: {} };
    const show = showProgress({ ...io, err: (text) => void written.push(text) });
    try {
      for (const [i, word] of PAYLOADS.entries()) show.update({ done: i, total: PAYLOADS.length, label: `Qz ${word}` });
    } finally {
      show.stop();
      spy.mockRestore();
      if (tty === undefined) Reflect.deleteProperty(process.stderr, 'isTTY');
      else Object.defineProperty(process.stderr, 'isTTY', tty);
    }
    const text = written.join('');
    // The bar of its own package moves the cursor: kept and set back, to a column, over the line, wrapping off and on.
    const own = /\u001b(?:\[\d*[GKJ]|\[\?7[lh]|[78])/g;
    expectHarmlessTerminal(terminal ? text.replace(own, '').replaceAll('\r', '') : text, 'progress');
    expect(text).toContain('Qz ');
  });
});
