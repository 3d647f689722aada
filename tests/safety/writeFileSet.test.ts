import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { nodeFiles } from '../../src/show/write/fileOps.js';
import { isGone, processMark } from '../../src/show/write/processMark.js';
import { writeFileSet } from '../../src/show/write/writeFileSet.js';
import { faultyFiles, quickFiles, type Fault } from './faultyFiles.js';

const NAMES = ['a.html', 'b.json', 'c.csv'];
/** The new set lacks `c.csv`, which it owns, and has `d.md`, which the old one lacks. */
const OLD = new Map(NAMES.map((name) => [name, `old ${name}`]));
const NEW = new Map(['a.html', 'b.json', 'd.md'].map((name) => [name, `new ${name}`]));
const OWNED = [...NAMES, 'd.md'];

let place: string;
let folder: string;
beforeEach(() => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-set-'));
  folder = join(place, 'creek');
  mkdirSync(folder);
  for (const [name, text] of OLD) writeFileSync(join(folder, name), text);
  writeFileSync(join(folder, 'mine.txt'), 'the user’s own');
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

/** What a reader meets: names with their text, the user's own file and temporaries left aside. */
function read(): Map<string, string> {
  const names = OWNED.filter((name) => existsSync(join(folder, name)));
  return new Map(names.sort().map((name) => [name, readFileSync(join(folder, name), 'utf8')]));
}
const temporaries = () => readdirSync(folder).filter((name) => name.startsWith('.'));
const whichSet = () => {
  const seen = JSON.stringify([...read()]);
  return seen === JSON.stringify([...OLD]) ? 'old' : seen === JSON.stringify([...NEW]) ? 'new' : seen;
};

describe('writeFileSet', () => {
  it('puts the new set in place as plain files, removes an owned name that is not in it, and leaves other files', async () => {
    await writeFileSet(folder, NEW, { owned: OWNED });
    expect(whichSet()).toBe('new');
    expect(readdirSync(folder).sort()).toEqual(['a.html', 'b.json', 'd.md', 'mine.txt']);
    for (const name of NEW.keys()) expect(lstatSync(join(folder, name)).isFile(), name).toBe(true);
    expect(readFileSync(join(folder, 'mine.txt'), 'utf8')).toBe('the user’s own');
  });

  it('leaves names alone that it does not own', async () => {
    await writeFileSet(folder, NEW);
    expect(readdirSync(folder).sort()).toEqual(['a.html', 'b.json', 'c.csv', 'd.md', 'mine.txt']);
  });

  it('replaces a name that is a link, and leaves what it points to', async () => {
    writeFileSync(join(place, 'elsewhere.html'), 'precious');
    rmSync(join(folder, 'a.html'));
    symlinkSync('../elsewhere.html', join(folder, 'a.html'));
    await writeFileSet(folder, NEW, { owned: OWNED });
    expect(whichSet()).toBe('new');
    expect(lstatSync(join(folder, 'a.html')).isFile()).toBe(true);
    expect(readFileSync(join(place, 'elsewhere.html'), 'utf8')).toBe('precious');
  });

  it('says that a folder stands under a name, before anything is touched', async () => {
    mkdirSync(join(folder, 'd.md'));
    await expect(writeFileSet(folder, NEW, { owned: OWNED })).rejects.toThrow(
      `cannot write into ${folder}: d.md is a folder there; move it away (EISDIR). What stood there before stands there still.`,
    );
    rmSync(join(folder, 'd.md'), { recursive: true });
    expect(whichSet()).toBe('old');
    expect(temporaries()).toEqual([]);
  });

  it('follows a folder that is a link, and says what is wrong where it is a file or cannot be made', async () => {
    symlinkSync(folder, join(place, 'link'));
    await writeFileSet(join(place, 'link'), NEW, { owned: OWNED });
    expect(whichSet()).toBe('new');
    expect(lstatSync(join(place, 'link')).isSymbolicLink()).toBe(true);
    const file = join(place, 'file');
    writeFileSync(file, 'x');
    await expect(writeFileSet(file, NEW)).rejects.toThrow(/^cannot write into .*file: EEXIST/);
    await expect(writeFileSet(join(file, 'below'), NEW)).rejects.toThrow(/^cannot write into .*below: ENOTDIR/);
    symlinkSync(join(place, 'nowhere'), join(place, 'dangling'));
    await expect(writeFileSet(join(place, 'dangling'), NEW)).rejects.toThrow(/^cannot write into .*dangling: ENOENT/);
    expect(readFileSync(file, 'utf8')).toBe('x');
  });
});

describe('when the file system fails', () => {
  /** Every call in turn: the fault at that call, and what a reader met afterwards. */
  async function everyCall(fault: Omit<Fault, 'at'>, check: (at: number, error: Error | undefined) => Promise<void>) {
    for (let at = 0; at < 500; at++) {
      const { fs, calls } = faultyFiles({ ...fault, at });
      const error = await writeFileSet(folder, NEW, { owned: OWNED, fs }).then(
        () => undefined,
        (reason: Error) => reason,
      );
      if (calls() <= at) return at;
      await check(at, error);
      await writeFileSet(folder, OLD, { owned: OWNED, fs: quickFiles });
      expect(whichSet(), `put back after call ${at}`).toBe('old');
      // What this process left would be cleared up by the next one; here it is the same one, which still lives.
      for (const name of temporaries()) rmSync(join(folder, name), { recursive: true });
    }
    throw new Error('the writing never ended');
  }

  it('shows the whole old or the whole new set wherever the run ends, and turns exactly once', async () => {
    const seen: string[] = [];
    const calls = await everyCall({ code: 'EKILLED', lasts: 'rest' }, async () => {
      seen.push(whichSet());
      // The next test of a place starts from plain files again: the links of the dead run are put in order as by another.
      const dead = temporaries().find((name) => !name.startsWith('.sightstage-lock'));
      for (const name of OWNED) {
        const path = join(folder, name);
        if (!existsSync(path)) rmSync(path, { force: true });
        else if (lstatSync(path).isSymbolicLink()) {
          expect(readlinkSync(path)).toBe(`${dead!}/current/${name}`);
          const text = readFileSync(path);
          rmSync(path);
          writeFileSync(path, text);
        }
      }
      for (const name of temporaries()) rmSync(join(folder, name), { recursive: true });
    });
    expect(calls).toBeGreaterThan(40);
    const turns = seen.filter((set, i) => i > 0 && set !== seen[i - 1]);
    expect([seen[0], ...turns]).toEqual(['old', 'new']);
  });

  it('keeps the old set, or has the new one, when a single call fails; and leaves nothing temporary', async () => {
    const kept: string[] = [];
    await everyCall({ code: 'EIO', lasts: 'once' }, async (at, error) => {
      kept.push(whichSet());
      expect(whichSet(), `call ${at}: ${error?.message ?? 'no error'}`).toBe(error === undefined ? 'new' : 'old');
      for (const name of OWNED)
        if (existsSync(join(folder, name)))
          expect(lstatSync(join(folder, name)).isFile(), `${name}, call ${at}`).toBe(true);
    });
    expect(kept).toContain('old');
  });

  it.each(['ENOSPC', 'EDQUOT', 'EROFS', 'EACCES'])('keeps the old set and says why at %s', async (code) => {
    for (const at of [0, 1, 2]) {
      const { fs } = faultyFiles({ at, kind: 'writeNew', code, lasts: 'rest' });
      await expect(writeFileSet(folder, NEW, { owned: OWNED, fs })).rejects.toThrow(
        `cannot write into ${folder}: ${code}: made to fail, writeNew. What stood there before stands there still.`,
      );
      expect(whichSet()).toBe('old');
      expect(temporaries()).toEqual([]);
    }
  });

  it('renames one after another where there are no links, and goes back when one fails', async () => {
    const noLinks = {
      ...nodeFiles,
      symlink: () => Promise.reject(Object.assign(new Error('EPERM'), { code: 'EPERM' })),
    };
    await writeFileSet(folder, NEW, { owned: OWNED, fs: noLinks });
    expect(whichSet()).toBe('new');
    await writeFileSet(folder, OLD, { owned: OWNED, fs: noLinks });
    expect(whichSet()).toBe('old');
    let renames = 0;
    const failing = {
      ...noLinks,
      // The first rename takes the lock.
      rename: (from: string, to: string) =>
        ++renames === 3 ? Promise.reject(Object.assign(new Error('EIO'), { code: 'EIO' })) : nodeFiles.rename(from, to),
    };
    await expect(writeFileSet(folder, NEW, { owned: OWNED, fs: failing })).rejects.toThrow(/EIO/);
    expect(whichSet()).toBe('old');
    expect(temporaries()).toEqual([]);
  });

  it('copies where there are no hard links', async () => {
    const noLinks = { ...nodeFiles, link: () => Promise.reject(Object.assign(new Error('EPERM'), { code: 'EPERM' })) };
    await writeFileSet(folder, NEW, { owned: OWNED, fs: noLinks });
    expect(whichSet()).toBe('new');
  });
});

describe('several runs', () => {
  it('take turns: twelve at once leave one whole set and nothing temporary', async () => {
    const sets = Array.from({ length: 12 }, (_, i) => new Map([...OWNED].map((name) => [name, `${i} of ${name}`])));
    await Promise.all(sets.map((set) => writeFileSet(folder, set, { owned: OWNED })));
    const writers = new Set([...read().values()].map((text) => text.split(' ')[0]));
    expect(writers.size).toBe(1);
    expect(temporaries()).toEqual([]);
  });

  it('take over the lock of a process that is gone, and clear up after it', async () => {
    const gone = processMark().replace(/_\d+_\d+_/, '_999999999_1_');
    mkdirSync(join(folder, '.sightstage-lock'));
    writeFileSync(join(folder, '.sightstage-lock', gone), '');
    mkdirSync(join(folder, `.sightstage-${gone}`, 'old'), { recursive: true });
    await Promise.all([NEW, NEW, NEW].map((set) => writeFileSet(folder, set, { owned: OWNED })));
    expect(whichSet()).toBe('new');
    expect(temporaries()).toEqual([]);
  });

  it('leave alone what begins the same but was not made by a run', async () => {
    mkdirSync(join(folder, '.sightstage-notes'));
    await writeFileSet(folder, NEW, { owned: OWNED });
    expect(temporaries()).toEqual(['.sightstage-notes']);
  });
});

describe('a mark', () => {
  it('lives while its process does', () => {
    const mark = processMark();
    expect(isGone(mark, 0)).toBe(false);
    expect(isGone(mark.replace(/_\d+_\d+_/, '_999999999_1_'), 0)).toBe(true);
    // The same number, another start: the number was given away again.
    if (existsSync('/proc/self/stat')) expect(isGone(mark.replace(/_(\d+)_\d+_/, '_$1_1_'), 0)).toBe(true);
  });
  it('of another machine counts as left behind after an hour', () => {
    const mark = `elsewhere_1_1_${processMark().slice(-36)}`;
    expect(isGone(mark, Date.now() - 3_500_000)).toBe(false);
    expect(isGone(mark, Date.now() - 3_700_000)).toBe(true);
    expect(isGone('notes', 0)).toBe(false);
  });
});
